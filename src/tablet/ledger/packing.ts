/** Making packs, and adding to them: see `packs.ts`. */
import type { PairId } from '../../domain/ids.ts';
import { pairIdSchema } from '../../domain/record/envelope.ts';
import { thingOf } from '../../domain/record/kinds.ts';
import type { Pulled } from './ledger.ts';
import type { PackRow } from './packs.ts';

interface Entry extends Pulled {
  readonly epoch: string;
}

/** What has a pair to be packed with, by pair, and what stands for itself. */
export interface Sorted {
  readonly byPair: ReadonlyMap<PairId, readonly Pulled[]>;
  readonly alone: readonly Pulled[];
}

/** @param own the tablet's own bench, whose records are not packed */
export function sortedForPacks(pulled: readonly Pulled[], own: string): Sorted {
  const byPair = new Map<PairId, Pulled[]>();
  const alone: Pulled[] = [];
  for (const one of pulled) {
    const { id, pair, bench } = fieldsOf(one.record);
    const some = typeof pair === 'string' ? byPair.get(pair as PairId) : undefined;
    const known = some !== undefined || pairIdSchema.safeParse(pair).success;
    if (!known || bench === own || typeof id !== 'string') alone.push(one);
    else if (some === undefined) byPair.set(pair as PairId, [one]);
    else some.push(one);
  }
  return { byPair, alone };
}

/** @param pulled records of the pair, of which nothing is held */
export function packOf(pair: PairId, pulled: readonly Pulled[], epoch: string): PackRow {
  return packed(
    pair,
    pulled.map(({ pos, record }) => ({ pos, record, epoch })),
  );
}

/** The pack with these too: what is in it already gets its place and keeps its content. Null where nothing changes. */
export function withMore(pack: PackRow, pulled: readonly Pulled[], epoch: string): PackRow | null {
  const entries = new Map<unknown, Entry>();
  for (const part of pack.parts) {
    for (const { pos, record } of JSON.parse(part.text) as readonly Pulled[])
      entries.set(fieldsOf(record).id, { pos, record, epoch: part.epoch });
  }
  let changed = false;
  for (const { pos, record } of pulled) {
    const { id } = fieldsOf(record);
    const held = entries.get(id);
    if (held !== undefined && held.pos === pos && held.epoch === epoch) continue;
    entries.set(id, { pos, record: held?.record ?? record, epoch });
    changed = true;
  }
  return changed ? packed(pack.pair, [...entries.values()]) : null;
}

function packed(pair: string, entries: readonly Entry[]): PackRow {
  const parts = new Map<string, Pulled[]>();
  const things = new Set<string>();
  let newest: number | null = Number.NEGATIVE_INFINITY;
  for (const { pos, record, epoch } of entries) {
    const part = parts.get(epoch);
    if (part === undefined) parts.set(epoch, [{ pos, record }]);
    else part.push({ pos, record });
    const { at, kind } = fieldsOf(record);
    newest = newest !== null && typeof at === 'number' ? Math.max(newest, at) : null;
    const thing = typeof kind === 'string' ? thingOf(record as { readonly kind: string }) : null;
    if (thing !== null) things.add(thing);
  }
  return {
    pair,
    parts: [...parts].map(([epoch, some]) => ({ epoch, text: JSON.stringify(some) })),
    newest,
    things: [...things],
  };
}

function fieldsOf(record: unknown): Readonly<Record<string, unknown>> {
  return typeof record === 'object' && record !== null ? (record as Readonly<Record<string, unknown>>) : {};
}
