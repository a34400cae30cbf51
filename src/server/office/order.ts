/** What an order to the office command can say, and what it works with. */
import type { SiteId } from '../../domain/ids.ts';
import type { Instant } from '../../domain/instant.ts';
import type { SiteBook } from '../../domain/site-book.ts';
import type { ServerLedger } from '../ledger/ledger.ts';

export const OPTIONS = {
  site: { type: 'string' },
  name: { type: 'string' },
  role: { type: 'string' },
  operative: { type: 'string' },
  bench: { type: 'string' },
  stages: { type: 'string' },
  place: { type: 'string' },
  uses: { type: 'string' },
  hours: { type: 'string' },
  day: { type: 'string' },
  days: { type: 'string' },
  breaks: { type: 'string' },
  from: { type: 'string' },
  to: { type: 'string' },
  ask: { type: 'string' },
  'ticket-pattern': { type: 'string' },
  'closing-stage': { type: 'string' },
  out: { type: 'string' },
  file: { type: 'string' },
  all: { type: 'boolean' },
  help: { type: 'boolean' },
} as const;

type Switch = 'help' | 'all';
/** The options that say something. */
export type TextOption = Exclude<keyof typeof OPTIONS, Switch>;

export type OfficeOptions = { readonly [Name in TextOption]?: string | undefined } & {
  readonly all?: boolean | undefined;
};

/** What the command works with. */
export interface OfficeDesk {
  readonly ledger: ServerLedger;
  readonly random: (bytes: number) => Uint8Array;
  readonly now: Instant;
  readonly write: (path: string, text: string) => void;
  /** The text of a file. @throws Error where it cannot be read */
  readonly read: (path: string) => string;
}

/** What an order works with: the desk, the site, and its book as it stands. */
export interface Order extends OfficeDesk {
  readonly site: SiteId;
  readonly book: SiteBook;
  readonly options: OfficeOptions;
}
