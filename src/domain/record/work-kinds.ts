/** Work on a pair and its ways through the works. */
import * as z from 'zod/mini';
import { listOf } from '../shapes.ts';
import { lineSchema, operativeIdSchema, pairIdSchema, recordIdSchema, stageCodeSchema } from './envelope.ts';
import { kind, lastSchema, rackSchema, SHOES, SIDES, since, stagesSchema, whySchema } from './kind.ts';

const shoeSchema = since(z.enum(SHOES), 'both');

/** Work on a pair begins. Its id is the id of the spell. */
export const clockedInSchema = kind('clocked-in', {
  pair: pairIdSchema,
  stage: stageCodeSchema,
  shoe: shoeSchema,
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
  /** False where nobody scanned when the work ended: then the record's instant is only when it was said. */
  timed: since(z.boolean(), true),
});

export const HAND_AS = ['beside', 'answers'] as const;

/** A second hand at the spell `of`: works `beside`, or is the skilled hand who `answers` for it. */
export const handJoinedSchema = kind('hand-joined', {
  pair: pairIdSchema,
  of: recordIdSchema,
  hand: operativeIdSchema,
  as: z.enum(HAND_AS),
});

/** The stage was done and nobody scanned: when and by whom is not known. */
export const doneUnscannedSchema = kind('done-unscanned', {
  pair: pairIdSchema,
  stage: stageCodeSchema,
  shoe: shoeSchema,
  why: whySchema,
});

/** Taken off the line with a reason. */
export const setAsideSchema = kind('set-aside', {
  pair: pairIdSchema,
  stage: stageCodeSchema,
  reason: whySchema,
});
export const takenUpSchema = kind('taken-up', { pair: pairIdSchema });

/** Returned to an earlier stage. It names places, not people. */
export const sentBackSchema = kind('sent-back', {
  pair: pairIdSchema,
  from: stageCodeSchema,
  to: stageCodeSchema,
  shoe: z.enum(SHOES),
  reason: whySchema,
  /** What has to be done again besides `to`, and on which shoe: colour on both. */
  again: since(listOf(z.object({ stage: stageCodeSchema, shoe: z.enum(SHOES) }), 64), []),
  /** The catalogue's fault, where it is one. */
  fault: since(z.nullable(lineSchema(40)), null),
});

/** One shoe travels alone; the other waits where this was said. */
export const partedSchema = kind('parted', { pair: pairIdSchema, shoe: z.enum(SIDES), why: whySchema });
export const rejoinedSchema = kind('rejoined', { pair: pairIdSchema });

/** Seen at this bench, without work. */
export const foundHereSchema = kind('found-here', { pair: pairIdSchema });

export const rackedSchema = kind('racked', { pair: pairIdSchema, rack: rackSchema });
export const unrackedSchema = kind('unracked', { pair: pairIdSchema, rack: rackSchema });

/** The pair of lasts is in this pair, from re-lasting to slipping. */
export const lastTakenSchema = kind('last-taken', { pair: pairIdSchema, last: lastSchema });
export const lastFreedSchema = kind('last-freed', { pair: pairIdSchema, last: lastSchema });

/** The final check was passed, with what was still open then. */
export const checkedSchema = kind('checked', {
  pair: pairIdSchema,
  stage: stageCodeSchema,
  /** Nail points were felt for with a probe, before the heel sock goes in. */
  probe: z.boolean(),
  /** Set on a flat board and compared. */
  board: z.boolean(),
  openNotes: listOf(recordIdSchema, 200),
  unrecorded: stagesSchema,
  /** Wanted where anything stood open. */
  why: z.nullable(whySchema),
});

/** Both shoes and the owner's things are in the box. */
export const boxedSchema = kind('boxed', {
  pair: pairIdSchema,
  things: listOf(z.object({ thing: lineSchema(40), back: z.boolean() }), 12),
  /** Whether the second shoe's own tag was scanned, or its number read by eye. */
  tag: z.enum(['scanned', 'by-eye']),
  why: z.nullable(whySchema),
});
