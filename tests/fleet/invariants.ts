/**
 * What must be so when all faults are over and everything has come to rest. What can be seen sooner is looked at as
 * it happens: cursors, hands and numbers in `faulty-store.ts`.
 */
import { isDeepStrictEqual } from 'node:util';
import { placeOf } from '../../src/domain/cursor.ts';
import type { Placed } from '../../src/domain/fold/order.ts';
import { foldPair } from '../../src/domain/fold/pair.ts';
import { asBenchId, asRecordId, type PairId } from '../../src/domain/ids.ts';
import { pairOf } from '../../src/domain/record/kinds.ts';
import { readRecord } from '../../src/domain/record/reading.ts';
import type { SequenceFault } from '../../src/server/ledger/ledger.ts';
import { DESK, SITE } from '../support/builders.ts';
import { MemoryLedger } from '../support/memory-ledger.ts';
import type { BrokenBuild } from './broken-build.ts';
import type { Register } from './register.ts';
import type { HeldRow, ServerHouse } from './server-house.ts';
import type { Tablet } from './tablet.ts';

export interface Looked {
  readonly register: Register;
  readonly house: ServerHouse;
  readonly tablets: readonly Tablet[];
  readonly isRevoked: (tablet: Tablet) => boolean;
  /** Whether the record may be missing at the server: no tablet is left that has it and may send it. */
  readonly isLost: (id: string, bench: string) => boolean;
  readonly pairs: readonly PairId[];
  readonly broken: BrokenBuild;
}

export async function lookAtAll(looked: Looked): Promise<void> {
  const { epoch, rows } = looked.house.held();
  shownIsHeld(looked, rows);
  heldWasMade(looked, rows);
  noActTwice(looked, rows);
  badIsKeptAside(looked, rows);
  await faultsAreReported(looked, rows);
  for (const tablet of looked.tablets) {
    if (!looked.isRevoked(tablet)) {
      nothingSkipped(looked, tablet, rows);
      await foldsAgree(looked, tablet, placedFrom(rows, epoch));
    }
  }
  orderDoesNotMatter(looked, placedFrom(rows, epoch));
}

/** Every record shown as made is in the ledger unchanged, or on a tablet that the server will not have. */
function shownIsHeld({ register, tablets, isRevoked }: Looked, rows: readonly HeldRow[]): void {
  const held = new Map(rows.map(({ id, json }) => [id, json]));
  for (const id of register.shown) {
    const made = register.made.get(id);
    if (made === undefined) register.violate('shown is made', `${id} was shown and never written`);
    else if (held.has(id)) {
      if (held.get(id) !== made.json)
        register.violate('a record is never changed', `${made.json} became ${held.get(id)}`);
    } else if (!register.mayBeLost.has(id)) {
      const kept = tablets.some((tablet) => isRevoked(tablet) && keeps(tablet, id, made.json));
      if (!kept) register.violate('shown as made is held', `${made.json} is not in the ledger`);
    }
  }
}

function keeps({ disk }: Tablet, id: string, json: string): boolean {
  return JSON.stringify(disk.store.records.get(id)?.raw) === json;
}

/** Nothing is in the ledger that nobody made; positions run 1, 2, 3 … */
function heldWasMade({ register }: Looked, rows: readonly HeldRow[]): void {
  for (const [index, { id, json, bench, pos }] of rows.entries()) {
    if (pos !== index + 1) register.violate('positions have no gap', `${pos} follows ${index}`);
    if (bench === DESK) continue;
    if (register.made.get(id)?.json !== json)
      register.violate('what is held was made', `nobody made ${json}`);
  }
}

/** The same act under two ids is the same act twice. */
function noActTwice({ register }: Looked, rows: readonly HeldRow[]): void {
  const acts = new Map<string, string>();
  for (const { id, json } of rows) {
    const { id: _id, seq: _seq, seen: _seen, ...act } = JSON.parse(json) as Record<string, unknown>;
    const text = JSON.stringify(act);
    const before = acts.get(text);
    if (before !== undefined) register.violate('no act is held twice', `${before} and ${id}: ${text}`);
    acts.set(text, id);
  }
}

/** What the server would not take is on its tablet, with the reasons, and what it holds is not told as refused. */
function badIsKeptAside({ register, tablets, isRevoked }: Looked, rows: readonly HeldRow[]): void {
  const held = new Set(rows.map(({ id }) => id));
  for (const tablet of tablets) {
    for (const [id, { state, reasons }] of tablet.disk.store.outbox) {
      if (state === 'refused' && held.has(id))
        register.violate('only what is not held is told as refused', `${id} at ${tablet.name}`);
      if (state === 'refused' && reasons.length === 0)
        register.violate('a refusal has its reasons', `${id} at ${tablet.name}`);
    }
    for (const id of register.bad) {
      if (held.has(id)) register.violate('a bad record is refused', `${id} is in the ledger`);
      const { outbox, records } = tablet.disk.store;
      if (records.has(id) && !isRevoked(tablet) && outbox.get(id)?.state !== 'refused')
        register.violate('a bad record is kept aside', `${id} at ${tablet.name} is ${outbox.get(id)?.state}`);
    }
  }
}

/** Gaps and numbers used twice are reported, all of them and nothing else. */
async function faultsAreReported({ register, house }: Looked, rows: readonly HeldRow[]): Promise<void> {
  const said = [...(await house.ledger.sequenceFaults(SITE))];
  const expected = faultsIn(rows);
  if (!isDeepStrictEqual(new Set(said.map(asText)), new Set(expected.map(asText))))
    register.violate(
      'gaps and doubled numbers are reported',
      `${JSON.stringify(said)} and not ${JSON.stringify(expected)}`,
    );
  const missing = (bench: string, seq: number) =>
    said.some((one) => one.is === 'missing' && one.bench === bench && one.from <= seq && seq <= one.to);
  const used = new Set(rows.map(({ bench, seq }) => `${bench} ${seq}`));
  const highest = new Map<string, number>();
  for (const { bench, seq } of rows) highest.set(bench, Math.max(seq, highest.get(bench) ?? 0));
  for (const { id, bench, seq } of register.made.values()) {
    const gone = !used.has(`${bench} ${seq}`) && seq < (highest.get(bench) ?? 0);
    if (gone && !missing(bench, seq)) register.violate('gaps are reported', `${seq} of ${bench} (${id})`);
  }
}

function asText(fault: SequenceFault): string {
  return JSON.stringify(fault.is === 'doubled' ? { ...fault, records: [...fault.records].sort() } : fault);
}

function faultsIn(rows: readonly HeldRow[]): readonly SequenceFault[] {
  const benches = new Map<string, Map<number, string[]>>();
  for (const { bench, seq, id } of rows) {
    const numbers = benches.get(bench) ?? new Map<number, string[]>();
    benches.set(bench, numbers.set(seq, [...(numbers.get(seq) ?? []), id]));
  }
  const faults: SequenceFault[] = [];
  for (const [name, numbers] of benches) {
    const bench = asBenchId(name);
    let last = 0;
    for (const seq of [...numbers.keys()].sort((a, b) => a - b)) {
      if (seq > last + 1) faults.push({ bench, is: 'missing', from: last + 1, to: seq - 1 });
      const ids = numbers.get(seq) ?? [];
      if (ids.length > 1) faults.push({ bench, is: 'doubled', seq, records: ids.map(asRecordId) });
      last = seq;
    }
  }
  return faults;
}

/** A tablet holds everything up to its cursor, as it was made. */
function nothingSkipped({ register }: Looked, { disk, name }: Tablet, rows: readonly HeldRow[]): void {
  const upTo = placeOf(disk.store.settings.cursor)?.pos ?? 0;
  for (const { pos, id, json } of rows) {
    if (pos > upTo) break;
    const row = disk.store.records.get(id);
    if (row === undefined)
      register.violate('a cursor never skips', `${name} has read up to ${upTo} and has no ${pos}: ${json}`);
    else if (JSON.stringify(row.raw) !== json)
      register.violate('a record is never changed', `${name} holds ${JSON.stringify(row.raw)} for ${json}`);
  }
}

/**
 * Every tablet sees every pair as the server does. What a restored server has forgotten, and nobody who may bring it
 * has it any more, stays with whoever had read it.
 */
async function foldsAgree(
  { register, pairs, broken, isLost }: Looked,
  { disk, name }: Tablet,
  placed: readonly Placed[],
): Promise<void> {
  const ledger = new MemoryLedger(disk.store);
  const held = new Set(placed.map(({ record }) => record.id));
  for (const pair of pairs) {
    // As JSON has it: a tablet's store knows a zero below zero, and the wire does not.
    const kept = JSON.parse(JSON.stringify(await ledger.recordsOfPair(pair))) as readonly Placed[];
    const more = kept.filter(({ record }) => !held.has(record.id) && isLost(record.id, record.bench));
    const here = (broken.fold ?? foldPair)(pair, kept);
    const there = foldPair(pair, [...ofPair(placed, pair), ...more]);
    if (!isDeepStrictEqual(here, there))
      register.violate('folds agree', `${name} and the server about ${pair}`);
  }
}

/** The fold is the same whatever the order in which records came. */
function orderDoesNotMatter({ register, pairs, broken }: Looked, placed: readonly Placed[]): void {
  const fold = broken.fold ?? foldPair;
  for (const pair of pairs) {
    const one = ofPair(placed, pair);
    const other = [
      ...one.filter((_, index) => index % 2 === 1).reverse(),
      ...one.filter((_, index) => index % 2 === 0),
    ];
    if (!isDeepStrictEqual(fold(pair, one), fold(pair, [...other, ...one])))
      register.violate('folds agree', `the order of arrival matters for ${pair}`);
  }
}

function ofPair(placed: readonly Placed[], pair: PairId): readonly Placed[] {
  return placed.filter(({ record }) => pairOf(record) === pair);
}

function placedFrom(rows: readonly HeldRow[], epoch: string): readonly Placed[] {
  return rows.flatMap(({ pos, json }) => {
    const read = readRecord(JSON.parse(json));
    return read.is === 'record' ? [{ record: read.record, pos, epoch }] : [];
  });
}
