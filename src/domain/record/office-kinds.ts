/** What the office notes about a pair: that it is here, what its owner said, what was put right. */
import * as z from 'zod/mini';
import { listOf, whole, written } from '../shapes.ts';
import { lineSchema, pairIdSchema, recordIdSchema } from './envelope.ts';
import { daySchema, JOBS, kind, noteIdOrNull, since, whySchema } from './kind.ts';

/** How worn a shoe came in. `lock`: worn to the lock of the sole seam. */
export const conditionSchema = z.object({
  sole: z.enum(['sound', 'worn', 'lock', 'through']),
  welt: z.enum(['sound', 'short-tear', 'long-tear']),
  heel: z.enum(['sound', 'top-piece', 'lifts']),
});
export type ShoeCondition = z.infer<typeof conditionSchema>;

/** What the office can put right afterwards, each on its own. */
export const detailsShape = {
  job: z.enum(JOBS),
  /** What the office finds the owner by; no name on the shop floor. */
  ownerRef: lineSchema(60),
  style: lineSchema(60),
  last: lineSchema(20),
  size: lineSchema(12),
  fitting: lineSchema(12),
  promised: daySchema,
  /** The maker's mark in the shoe, where it can be read. */
  maker: z.nullable(lineSchema(60)),
  /** What the owner asked for, in a line. */
  asked: z.nullable(whySchema),
};

/** The pair exists: it has been received and has a ticket. */
export const pairLoggedSchema = kind('pair-logged', {
  pair: pairIdSchema,
  ...detailsShape,
  maker: since(detailsShape.maker, null),
  asked: since(detailsShape.asked, null),
  /** What came with the pair and must go back with it. */
  withPair: listOf(lineSchema(40), 12),
  condition: since(z.nullable(z.object({ left: conditionSchema, right: conditionSchema })), null),
  /** Version of the site's routes that this pair keeps; null takes the first. */
  route: since(z.nullable(whole(1)), null),
  /** The owner's yes to price and job: still to be asked for, given with the pair, or not wanted here. */
  yes: since(z.enum(['to-ask', 'given', 'not-wanted']), 'not-wanted'),
});

/** Details put right. Two that name the same `after` were made apart from each other: both are kept and shown. */
export const pairAmendedSchema = kind('pair-amended', {
  pair: pairIdSchema,
  /** The record that the writer saw as the latest word: the logging, or the amendment before this. */
  after: recordIdSchema,
  changes: z.partial(z.object(detailsShape)),
  why: whySchema,
});

/** The owner's yes is wanted (again): more was found than was agreed on. */
export const ownerAskedSchema = kind('owner-asked', {
  pair: pairIdSchema,
  note: noteIdOrNull,
  why: whySchema,
});

export const OWNER_ANSWERS = ['go-on', 'go-on-cheaper', 'stop'] as const;
export type OwnerAnswer = (typeof OWNER_ANSWERS)[number];

/** What the owner said, and what job and promise follow from it. `stop`: to be returned in parts. */
export const ownerAnsweredSchema = kind('owner-answered', {
  pair: pairIdSchema,
  answer: z.enum(OWNER_ANSWERS),
  job: z.enum(JOBS),
  promised: daySchema,
  words: z.nullable(whySchema),
});

/** Given back to its owner unfinished, in parts: the pair has left the works, and its last is free. */
export const handedBackSchema = kind('handed-back', { pair: pairIdSchema, why: whySchema });

export const PHOTO_TYPES = ['image/jpeg', 'image/png', 'image/webp'] as const;

/** A photograph; its bytes travel apart, under their SHA-256. */
export const picturedSchema = kind('pictured', {
  pair: pairIdSchema,
  photo: written(/^[0-9a-f]{64}$/, 'has another form'),
  bytes: whole(1),
  type: z.enum(PHOTO_TYPES),
  note: noteIdOrNull,
});

/** A second ticket was printed: the same number, for the first was lost or spoiled. */
export const ticketReprintedSchema = kind('ticket-reprinted', { pair: pairIdSchema, why: whySchema });
