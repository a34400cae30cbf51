/** What the desk keeps of the site's book: no names of people, no badges. */
import * as z from 'zod/mini';
import { lineSchema, stageCodeSchema } from '../domain/record/envelope.ts';
import { whole } from '../domain/shapes.ts';
import type { SiteBook } from '../domain/site-book.ts';

export const siteFactsSchema = z.object({
  name: lineSchema(80),
  /** An IANA name that this browser knows too, since every time on the page is shown in it. */
  timeZone: lineSchema(60).check(z.refine(isKnownZone, 'is no time zone that this browser knows')),
  /** Finishing this stage closes the pair: it has gone out. */
  closingStage: stageCodeSchema,
  version: whole(1),
});
export type SiteFacts = z.infer<typeof siteFactsSchema>;

/** The facts of a book, or null where its time zone is unknown to this browser. */
export function factsOf({ name, timeZone, closingStage, version }: SiteBook): SiteFacts | null {
  return siteFactsSchema.safeParse({ name, timeZone, closingStage, version }).data ?? null;
}

function isKnownZone(timeZone: string): boolean {
  try {
    new Intl.DateTimeFormat('en-GB', { timeZone });
    return true;
  } catch {
    // A RangeError is how Intl answers the question.
    return false;
  }
}
