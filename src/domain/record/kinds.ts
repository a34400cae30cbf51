/**
 * Every kind of record, once. The schemas here guard the browser's store, the wire and the server alike, and
 * all types come from them. To add a kind: write its schema below, add it to `recordSchema`, give it a step in
 * `fold/`, a sample in tests/unit/record-samples.ts, and say in `pairOf` whether it concerns a pair.
 */
import * as z from 'zod/mini';
import type { PairId } from '../ids.ts';
import { listOf } from '../shapes.ts';
import { envelopeSchema, lineSchema, pairIdSchema, recordIdSchema, stageCodeSchema } from './envelope.ts';

const kind = <Name extends string, Shape extends z.core.$ZodShape>(name: Name, shape: Shape) =>
  z.extend(envelopeSchema, { kind: z.literal(name), ...shape });

export const SHOES = ['left', 'right', 'both'] as const;
export type Shoe = (typeof SHOES)[number];
export const WEIGHTS = ['mind', 'mend', 'ask', 'stop'] as const;
export type Weight = (typeof WEIGHTS)[number];
export const JOBS = ['HL', 'HF', 'LG', 'RS', 'FB'] as const;
export type Job = (typeof JOBS)[number];

/** A calendar day of the site, `2026-12-10`. */
export const daySchema = z.iso.date();

/** The pair exists: it has been received and has a ticket. */
export const pairLoggedSchema = kind('pair-logged', {
  pair: pairIdSchema,
  job: z.enum(JOBS),
  /** What the office finds the owner by; no name on the shop floor. */
  ownerRef: lineSchema(60),
  style: lineSchema(60),
  last: lineSchema(20),
  size: lineSchema(12),
  fitting: lineSchema(12),
  promised: daySchema,
  /** What came with the pair and must go back with it. */
  withPair: listOf(lineSchema(40), 12),
});

/** The tablet is set to the stages done at this bench. */
export const benchSetSchema = kind('bench-set', { stages: listOf(stageCodeSchema, 12, 1) });

export const badgedOnSchema = kind('badged-on', {});
export const badgedOffSchema = kind('badged-off', { why: z.enum(['badge', 'hand-over', 'quiet']) });

/** Work on a pair begins. Its id is the id of the spell. */
export const clockedInSchema = kind('clocked-in', {
  pair: pairIdSchema,
  stage: stageCodeSchema,
  /** The tablet had no record of this ticket; the work goes on and the office is told. */
  unknownPair: z.boolean(),
});

/** Work on a pair ends. `of` names the clock-in, so an end can never be put to the wrong beginning. */
export const clockedOutSchema = kind('clocked-out', {
  pair: pairIdSchema,
  stage: stageCodeSchema,
  of: recordIdSchema,
  outcome: z.enum(['done', 'not-finished']),
  /** The pair leaves the works with this stage. */
  closes: z.boolean(),
});

/** Taken off the line with a reason. */
export const setAsideSchema = kind('set-aside', {
  pair: pairIdSchema,
  stage: stageCodeSchema,
  reason: lineSchema(200),
});
export const takenUpSchema = kind('taken-up', { pair: pairIdSchema });

/** Returned to an earlier stage. It names places, not people. */
export const sentBackSchema = kind('sent-back', {
  pair: pairIdSchema,
  from: stageCodeSchema,
  to: stageCodeSchema,
  shoe: z.enum(SHOES),
  reason: lineSchema(200),
});

/** A defect or an instruction on a zone of a shoe. Its id is the id of the note. */
export const notedSchema = kind('noted', {
  pair: pairIdSchema,
  shoe: z.enum(SHOES),
  zone: z.nullable(lineSchema(40)),
  weight: z.enum(WEIGHTS),
  text: lineSchema(200),
  /** The stages that must see it; empty means every stage. */
  seeAt: listOf(stageCodeSchema, 48),
});
export const noteSeenSchema = kind('note-seen', {
  pair: pairIdSchema,
  note: recordIdSchema,
  stage: stageCodeSchema,
});
export const noteCuredSchema = kind('note-cured', {
  pair: pairIdSchema,
  note: recordIdSchema,
  stage: stageCodeSchema,
});

/** The named record is taken back; it stays in the ledger, and so does this. */
export const voidedSchema = kind('voided', {
  pair: z.nullable(pairIdSchema),
  of: recordIdSchema,
  why: lineSchema(200),
});

export const recordSchema = z.discriminatedUnion('kind', [
  pairLoggedSchema,
  benchSetSchema,
  badgedOnSchema,
  badgedOffSchema,
  clockedInSchema,
  clockedOutSchema,
  setAsideSchema,
  takenUpSchema,
  sentBackSchema,
  notedSchema,
  noteSeenSchema,
  noteCuredSchema,
  voidedSchema,
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
