/** GET /api/site: the site's book. */
import * as z from 'zod/mini';
import { siteBookSchema } from '../domain/site-book.ts';
import { ledgerStateSchema } from './ledger-state.ts';

export const siteAnswerSchema = z.object({ state: ledgerStateSchema, book: siteBookSchema });
export type SiteAnswer = z.infer<typeof siteAnswerSchema>;
