/** What the server says when it will not do what it was asked: a small closed set, never a stack trace. */
import * as z from 'zod/mini';

export const REFUSALS = [
  'bad-request',
  'too-large',
  'no-key',
  'key-revoked',
  'wrong-site',
  'code-unknown',
  'code-used',
  'too-many-tries',
  'not-allowed',
  'book-changed',
  'not-found',
  'server-fault',
] as const;
export const refusalSchema = z.object({ refused: z.enum(REFUSALS), reasons: z.array(z.string()) });
export type RefusalAnswer = z.infer<typeof refusalSchema>;
export type RefusalKind = RefusalAnswer['refused'];
