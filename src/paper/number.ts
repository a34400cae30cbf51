/** A code in letters and digits, for eyes and for the keypad. */
import { classify, inGroups } from '../domain/code.ts';
import type { TicketPattern } from '../domain/ticket-pattern.ts';
import { type Markup, markup, nothing } from './markup.ts';

/** How a code is shown and read out: ours in groups of four, a site's own number as the site writes it. */
export function spoken(code: string, ours: boolean): string {
  return ours ? inGroups(code).join(' ') : code;
}

/**
 * The code in groups, its check character in colour, bold and underlined: a printer without colour must
 * show it too. A site's own number has no check character of ours, so none is marked.
 */
export function printedNumber(code: string, ours: boolean): Markup {
  if (!ours) return markup`<span class="group">${code}</span>`;
  const groups = inGroups(code);
  return markup`${groups.map((group, index) => {
    const last = index === groups.length - 1;
    const body = last ? group.slice(0, -1) : group;
    const check = last ? markup`<b class="check">${group.slice(-1)}</b>` : nothing;
    return markup`<span class="group">${body}${check}</span>${last ? '' : ' '}`;
  })}`;
}

/**
 * Refuses to print a code that no bench would accept.
 * @returns whether it is one of ours, with a check character
 * @throws RangeError for a damaged or foreign code, or one of another kind
 */
export function assertCode(
  code: string,
  kind: 'ticket' | 'badge' | 'bench',
  pattern: TicketPattern | null,
): boolean {
  const read = classify(code, 'camera', pattern);
  if (read.kind !== kind) throw new RangeError(`${JSON.stringify(code)} is no ${kind} code`);
  return read.kind !== 'ticket' || read.checked;
}
