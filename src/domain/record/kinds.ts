/**
 * Every kind of record, once. The schemas guard the browser's store, the wire and the server alike, and all types
 * come from them. To add a kind: write its schema in the file of its subject beside this one, add it to
 * `recordSchema`, give it a step in `fold/`, a sample in tests/unit/record-samples.ts, and see that `pairOf` and
 * `thingOf` find what it concerns.
 */
import * as z from 'zod/mini';
import type { PairId } from '../ids.ts';
import {
  badgedOffSchema,
  badgedOnSchema,
  benchSetSchema,
  machineBackSchema,
  machineStoppedSchema,
  remindersShownSchema,
} from './bench-kinds.ts';
import {
  letThroughSchema,
  noteCuredSchema,
  notedSchema,
  noteReleasedSchema,
  noteSeenSchema,
  notNeededSchema,
  stageAskedSchema,
  voidedSchema,
} from './note-kinds.ts';
import {
  handedBackSchema,
  ownerAnsweredSchema,
  ownerAskedSchema,
  pairAmendedSchema,
  pairLoggedSchema,
  picturedSchema,
  ticketReprintedSchema,
} from './office-kinds.ts';
import { lookedIntoSchema, timeGivenSchema } from './put-right-kinds.ts';
import {
  boxedSchema,
  checkedSchema,
  clockedInSchema,
  clockedOutSchema,
  doneUnscannedSchema,
  foundHereSchema,
  handJoinedSchema,
  lastFreedSchema,
  lastTakenSchema,
  partedSchema,
  rackedSchema,
  rejoinedSchema,
  sentBackSchema,
  setAsideSchema,
  takenUpSchema,
  unrackedSchema,
} from './work-kinds.ts';

export { JOBS, type Job, type OneShoe, SHOES, type Shoe, SIDES, WEIGHTS, type Weight } from './kind.ts';
export { HURDLES, type Hurdle } from './note-kinds.ts';
export { OWNER_ANSWERS, type OwnerAnswer, type ShoeCondition } from './office-kinds.ts';
export { type LookedInto, PUT_RIGHT_KINDS, type PutRightKind } from './put-right-kinds.ts';

export const recordSchema = z.discriminatedUnion('kind', [
  pairLoggedSchema,
  pairAmendedSchema,
  ownerAskedSchema,
  ownerAnsweredSchema,
  picturedSchema,
  ticketReprintedSchema,
  handedBackSchema,
  benchSetSchema,
  badgedOnSchema,
  badgedOffSchema,
  remindersShownSchema,
  machineStoppedSchema,
  machineBackSchema,
  clockedInSchema,
  clockedOutSchema,
  handJoinedSchema,
  doneUnscannedSchema,
  setAsideSchema,
  takenUpSchema,
  sentBackSchema,
  partedSchema,
  rejoinedSchema,
  foundHereSchema,
  rackedSchema,
  unrackedSchema,
  lastTakenSchema,
  lastFreedSchema,
  checkedSchema,
  boxedSchema,
  notedSchema,
  noteSeenSchema,
  noteCuredSchema,
  noteReleasedSchema,
  letThroughSchema,
  notNeededSchema,
  stageAskedSchema,
  voidedSchema,
  timeGivenSchema,
  lookedIntoSchema,
]);

export type LedgerRecord = z.infer<typeof recordSchema>;
export type RecordKind = LedgerRecord['kind'];
export type RecordOf<Kind extends RecordKind> = Extract<LedgerRecord, { kind: Kind }>;

/** What a maker of records knows: everything but the sequence and the cursor, which the ledger adds as it commits. */
export type Draft<Kind extends RecordKind = RecordKind> = Kind extends RecordKind
  ? Omit<RecordOf<Kind>, 'seq' | 'seen'>
  : never;

/** The version in which each kind is written today. */
export const CURRENT_VERSION = 1;

/** The pair that a record is about, or null. */
export function pairOf(record: { readonly kind: string }): PairId | null {
  return 'pair' in record && typeof record.pair === 'string' ? (record.pair as PairId) : null;
}

/**
 * The thing besides pairs that a record is about, so that a tablet can ask who has a pair of lasts, what stands on a
 * rack, or whether a machine may be run; null where it is about none.
 */
export function thingOf(record: { readonly kind: string }): string | null {
  const text = (key: string) => {
    const value = (record as Readonly<Record<string, unknown>>)[key];
    return typeof value === 'string' ? value : null;
  };
  switch (record.kind) {
    case 'last-taken':
    case 'last-freed': {
      const last = text('last');
      return last === null ? null : thing.last(last);
    }
    case 'racked':
    case 'unracked': {
      const rack = text('rack');
      return rack === null ? null : thing.rack(rack);
    }
    case 'machine-stopped':
    case 'machine-back': {
      const where = text('where');
      const stage = text('stage');
      return where === null || stage === null ? null : thing.machine(where, stage);
    }
    default:
      return null;
  }
}

/** Names of things, as `thingOf` gives them. */
export const thing = {
  last: (last: string) => `last ${last}`,
  rack: (rack: string) => `rack ${rack}`,
  machine: (bench: string, stage: string) => `machine ${bench} ${stage}`,
};
