/**
 * Pairs that are told of and not held: they are asked for whole before the page that tells of them is written, where the
 * server hands out parts.
 */
import type { PairId } from '../../domain/ids.ts';
import { pairIdSchema } from '../../domain/record/envelope.ts';
import type { Contact } from './contact.ts';
import type { SyncEffects } from './effects.ts';
import { type End, NOT_FOUND, SETTLED, STOPPED } from './ends.ts';

export class Strangers {
  readonly #effects: SyncEffects;
  readonly #contact: Contact;

  constructor(effects: SyncEffects, contact: Contact) {
    this.#effects = effects;
    this.#contact = contact;
  }

  async fetch(
    records: readonly { readonly record: unknown }[],
    epoch: string,
    signal: AbortSignal,
  ): Promise<End> {
    const { ledger, parts } = this.#effects;
    if (parts === undefined) return SETTLED;
    for (const pair of await ledger.notHeld(pairsWithoutLogging(records), epoch)) {
      const answer = await parts.pair(pair, signal);
      if (answer.is === 'fault' && answer.status === NOT_FOUND) continue;
      if (answer.is !== 'answer') return this.#contact.endOf(answer);
      if (!(await this.#contact.accept(answer))) return STOPPED;
      if (this.#contact.epoch !== epoch) return SETTLED;
      await ledger.place(answer.body.records, epoch);
    }
    return SETTLED;
  }
}

/** The pairs that the records are about, but for those whose logging is among them. */
function pairsWithoutLogging(pulled: readonly { readonly record: unknown }[]): readonly PairId[] {
  const pairs = new Set<PairId>();
  const logged = new Set<PairId>();
  for (const { record } of pulled) {
    if (typeof record !== 'object' || record === null || !('pair' in record) || !('kind' in record)) continue;
    const pair = pairIdSchema.safeParse(record.pair);
    if (!pair.success) continue;
    pairs.add(pair.data);
    if (record.kind === 'pair-logged') logged.add(pair.data);
  }
  return [...pairs].filter((pair) => !logged.has(pair));
}
