/** What the command line reads: a JSON file of what to print. */
import * as z from 'zod';
import { ticketPatternSchema } from '../../domain/ticket-pattern.ts';

/** Longer lists are printed in more than one go: a browser lays out some thousands of labels slowly. */
export const LABELS_MAX = 2000;

const code = z.string().min(1).max(24);
const text = z.string().trim().min(1).max(200);

const ticketPaperSchema = z.strictObject({
  pair: code,
  job: text.optional(),
  last: text.optional(),
  size: text.optional(),
  fitting: text.optional(),
  promised: z.iso.date().optional(),
  withThePair: z.array(text).max(50).optional(),
  second: z.boolean().optional(),
});

const badgePaperSchema = z.strictObject({ token: code, name: text, site: text.optional() });

const benchPaperSchema = z.strictObject({
  token: code,
  name: text,
  stages: z.array(text).min(1).max(20),
  validUntil: z.iso.datetime({ offset: true }),
  zone: text,
});

export const paperRequestSchema = z.strictObject({
  title: text.optional(),
  tickets: z.array(ticketPaperSchema).max(LABELS_MAX).optional(),
  badges: z.array(badgePaperSchema).max(LABELS_MAX).optional(),
  benches: z.array(benchPaperSchema).max(LABELS_MAX).optional(),
  pattern: z.optional(ticketPatternSchema),
});

export type PaperRequest = z.infer<typeof paperRequestSchema>;
