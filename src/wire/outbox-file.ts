/**
 * What a tablet could not send, as a file: JSON lines, in UTF-8. The first line says whose it is, each one after it is
 * a record as it was made. A record names its site and bench, so a line that was read from a symbol stands without the
 * first one. No key is in it.
 */
import * as z from 'zod/mini';
import { instantSchema } from '../domain/instant.ts';
import { benchIdSchema, lineSchema, siteIdSchema } from '../domain/record/envelope.ts';
import { text } from '../domain/shapes.ts';

export const outboxHeadSchema = z.object({
  waxend: z.literal('outbox'),
  v: z.literal(1),
  site: siteIdSchema,
  dataset: text(8, 64),
  bench: benchIdSchema,
  name: lineSchema(60),
  /** By the tablet's corrected clock. */
  madeAt: instantSchema,
});
export type OutboxHead = z.infer<typeof outboxHeadSchema>;

/** The file's text. */
export function outboxText(head: OutboxHead, records: readonly unknown[]): string {
  return [head, ...records].map((line) => `${JSON.stringify(line)}\n`).join('');
}
