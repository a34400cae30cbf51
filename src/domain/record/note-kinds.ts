/** Notes on a shoe and what becomes of them; and what a named person decided about a pair. */
import * as z from 'zod/mini';
import { listOf } from '../shapes.ts';
import { lineSchema, operativeIdSchema, pairIdSchema, recordIdSchema, stageCodeSchema } from './envelope.ts';
import { kind, noteIdOrNull, SHOES, since, stagesSchema, WEIGHTS, whySchema } from './kind.ts';

/** A defect or an instruction on a zone of a shoe. Its id is the id of the note. */
export const notedSchema = kind('noted', {
  pair: pairIdSchema,
  shoe: z.enum(SHOES),
  zone: z.nullable(lineSchema(40)),
  /** Which side of a zone that runs along both. */
  side: since(z.nullable(z.enum(['inside', 'outside'])), null),
  /** The catalogue's defect, where it is one. */
  defect: since(z.nullable(lineSchema(40)), null),
  weight: z.enum(WEIGHTS),
  text: whySchema,
  /** The stages that must see it; empty means every stage. */
  seeAt: listOf(stageCodeSchema, 48),
  /** The stages that can cure it. */
  cureAt: since(listOf(stageCodeSchema, 48), []),
});

const onNote = { pair: pairIdSchema, note: recordIdSchema };

export const noteSeenSchema = kind('note-seen', { ...onNote, stage: stageCodeSchema });
export const noteCuredSchema = kind('note-cured', { ...onNote, stage: stageCodeSchema });
/** A note of weight *stop* no longer stops: a named person has looked and said why. */
export const noteReleasedSchema = kind('note-released', { ...onNote, why: whySchema });

/** What a named person can let a pair past, once, at one stage. */
export const HURDLES = [
  'not-due',
  'owners-yes',
  'not-released',
  'out-of-use',
  'parted',
  'not-on-route',
] as const;
export type Hurdle = (typeof HURDLES)[number];

export const letThroughSchema = kind('let-through', {
  pair: pairIdSchema,
  stage: stageCodeSchema,
  past: z.enum(HURDLES),
  why: whySchema,
  /** Who was on: a word about a hand or a machine is good for that hand alone. Null in older records: for whoever it is. */
  hand: since(z.nullable(operativeIdSchema), null),
});

/** This pair does not need the stage: said by a named person, which is not the same as forgotten. */
export const notNeededSchema = kind('not-needed', {
  pair: pairIdSchema,
  stage: stageCodeSchema,
  why: whySchema,
});

/** This pair does need a stage that its job takes only if needed, or not at all. */
export const stageAskedSchema = kind('stage-asked', {
  pair: pairIdSchema,
  stages: stagesSchema,
  note: noteIdOrNull,
  why: whySchema,
});

/** The named record is taken back; it stays in the ledger, and so does this. */
export const voidedSchema = kind('voided', {
  pair: z.nullable(pairIdSchema),
  of: recordIdSchema,
  why: whySchema,
});
