/** What a supervisor says once something has been looked at: a spell's true times, or that it stands as it is. */
import * as z from 'zod/mini';
import { instantSchema } from '../instant.ts';
import { pairIdSchema, recordIdSchema } from './envelope.ts';
import { kind, since, whySchema } from './kind.ts';

/** Everything that can stand on the list of what is to be put right. */
export const PUT_RIGHT_KINDS = [
  'left-open',
  'end-unknown',
  'open-at-two-benches',
  'hand-at-two-benches',
  'out-of-order',
  'clock-doubtful',
  'never-logged',
  'no-hand',
  'work-after-closing',
  'logged-twice',
  'out-twice',
  'out-without-in',
  'amended-apart',
  'answered-apart',
  'hand-without-spell',
  'time-without-spell',
  'time-backwards',
  'void-of-nothing',
  'note-unknown',
] as const;
export type PutRightKind = (typeof PUT_RIGHT_KINDS)[number];

/** What a supervisor can have looked into: all of that, and an apprentice’s work, with which nothing is wrong. */
export const LOOKED_INTO = [...PUT_RIGHT_KINDS, 'learners-work'] as const;
export type LookedInto = (typeof LOOKED_INTO)[number];

/**
 * The true beginning and end of the spell `of`, as far as they are known. Given `to` or an outcome, an open spell is
 * ended; with an outcome and no `to` it is ended at a time that nobody knows.
 */
export const timeGivenSchema = kind('time-given', {
  pair: pairIdSchema,
  of: recordIdSchema,
  from: z.nullable(instantSchema),
  to: z.nullable(instantSchema),
  outcome: z.nullable(z.enum(['done', 'not-finished'])),
  /** The stage is the one with which a pair leaves the works, and it is done. */
  closes: since(z.boolean(), false),
  why: whySchema,
});

/** A supervisor has looked at `what` about the record `of`: it stands as it is, and leaves the list. */
export const lookedIntoSchema = kind('looked-into', {
  pair: z.nullable(pairIdSchema),
  of: recordIdSchema,
  what: z.enum(LOOKED_INTO),
  why: whySchema,
});
