/** The site itself: how it words and numbers things. */
import type { StageCode } from '../../domain/ids.ts';
import type { SiteBook } from '../../domain/site-book.ts';
import { clashesWithOurs, ticketPatternSchema } from '../../domain/ticket-pattern.ts';
import type { Order } from './order.ts';
import { Refusal } from './refusal.ts';

export async function setSite({ ledger, site, book, options }: Order): Promise<string> {
  const pattern = options['ticket-pattern'];
  const closing = options['closing-stage']?.toUpperCase();
  if (closing !== undefined && !book.stages.some(({ code }) => code === closing)) {
    throw new Refusal(`--closing-stage: ${closing} is no stage of this site; see list.`);
  }
  const { name, ask } = options;
  if ([name, ask, pattern, closing].every((said) => said === undefined)) {
    throw new Refusal('Say what to set: --name, --ask, --ticket-pattern or --closing-stage.');
  }
  const changed = await ledger.changeBook(site, (before) => ({
    ...before,
    name: name ?? before.name,
    ask: ask ?? before.ask,
    ticketPattern: pattern === undefined ? before.ticketPattern : patternIn(pattern),
    closingStage: (closing as StageCode | undefined) ?? before.closingStage,
  }));
  return `${changed.name}: version ${changed.version} of its book.`;
}

/** Given empty, the site's own numbers are no longer taken. */
function patternIn(typed: string): SiteBook['ticketPattern'] {
  if (typed === '') return null;
  const pattern = ticketPatternSchema.parse(typed);
  if (!clashesWithOurs(pattern)) return pattern;
  throw new Refusal(
    `--ticket-pattern: numbers like ${typed} can also be a ticket, tag, badge, rack or set-up code of Waxend, ` +
      'so a bench could not tell them apart. Choose another length, or another first letter than P, H, W or R, and no /L or /R at the end.',
  );
}
