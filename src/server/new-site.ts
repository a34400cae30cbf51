/** A site as it begins: the catalogue's stages, and nobody yet. */
import { NO_CALENDAR } from '../domain/calendar/versions.ts';
import { siteRoutes, siteStages, siteWays } from '../domain/catalogue/site-start.ts';
import { STAGES } from '../domain/catalogue/stages.ts';
import { asSiteId } from '../domain/ids.ts';
import { type SiteBook, siteBookSchema } from '../domain/site-book.ts';
import type { NewSite } from './ledger/ledger.ts';

export interface SiteNaming {
  readonly site: string;
  readonly name: string;
  /** An IANA name. */
  readonly timeZone: string;
}

const DATASET_BYTES = 16;
const EPOCH_BYTES = 8;

/** @throws ZodError where the naming is none, Error where the catalogue has no stage */
export function newSite(
  { site, name, timeZone }: SiteNaming,
  random: (bytes: number) => Uint8Array,
): NewSite {
  const closing = STAGES.at(-1);
  if (closing === undefined) throw new Error('the catalogue of stages is empty');
  const book: SiteBook = siteBookSchema.parse({
    site: asSiteId(site),
    name,
    timeZone,
    version: 1,
    ticketPattern: null,
    ask: 'your supervisor',
    closingStage: closing.code,
    stages: siteStages(STAGES),
    routes: [siteRoutes(STAGES)],
    ways: siteWays(STAGES),
    racks: [],
    reminders: { version: 0, wordings: [] },
    operatives: [],
    badges: [],
    benches: [],
    shifts: [],
  });
  return {
    book,
    calendar: NO_CALENDAR,
    dataset: hex(random(DATASET_BYTES)),
    epoch: newEpoch(random),
  };
}

export function newEpoch(random: (bytes: number) => Uint8Array): string {
  return hex(random(EPOCH_BYTES));
}

function hex(bytes: Uint8Array): string {
  return Buffer.from(bytes).toString('hex');
}
