/** The site itself: its shifts, and how it words and numbers things. */
import type { StageCode } from '../../domain/ids.ts';
import type { SiteBook } from '../../domain/site-book.ts';
import { clashesWithOurs, ticketPatternSchema } from '../../domain/ticket-pattern.ts';
import { changeShiftRules } from '../shift-renewal.ts';
import { shiftRuleSchema } from '../shift-windows.ts';
import type { Order } from './order.ts';
import { needed, Refusal } from './refusal.ts';

/** ISO 8601: the week begins on Monday. */
export const DAYS = ['mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun'] as const;

export async function setShift({ ledger, site, options, now }: Order): Promise<string> {
  const rule = shiftRuleSchema.parse({
    name: needed(options, 'name').trim(),
    days: daysIn(needed(options, 'days')),
    from: needed(options, 'from'),
    to: needed(options, 'to'),
  });
  await changeShiftRules(ledger, site, now, (rules) => [
    ...rules.filter(({ name }) => name !== rule.name),
    rule,
  ]);
  const until = rule.to <= rule.from ? `${rule.to} of the day after` : rule.to;
  return `${rule.name}: ${rule.days.map((day) => DAYS[day - 1]).join(' ')}, ${rule.from} to ${until}.`;
}

export async function dropShift({ ledger, site, options, now }: Order): Promise<string> {
  const dropped = needed(options, 'name').trim();
  const rules = await ledger.shiftRules(site);
  if (!rules.some(({ name }) => name === dropped)) throw new Refusal(`--name: there is no shift ${dropped}.`);
  await changeShiftRules(ledger, site, now, (before) => before.filter(({ name }) => name !== dropped));
  return `${dropped} is dropped.`;
}

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

function daysIn(list: string): readonly number[] {
  return list.split(',').map((word) => {
    const day = (DAYS as readonly string[]).indexOf(word.trim().toLowerCase());
    if (day < 0) throw new Refusal(`--days: ${word} is none of ${DAYS.join(', ')}.`);
    return day + 1;
  });
}
