/** The site's calendar: its shifts and their breaks, the days on which it is shut, and overtime. */
import {
  type Calendar,
  type Overtime,
  overtimeSchema,
  type ShiftRule,
  shiftRuleSchema,
  shutDaysSchema,
} from '../../domain/calendar/calendar.ts';
import { rulesOn } from '../../domain/calendar/versions.ts';
import { dayOn } from '../../domain/calendar/wall-time.ts';
import { changeCalendar, withRulesToday } from '../shift-renewal.ts';
import { breaksIn, daysIn, overtimeLine, refuseBreaksOutside, ruleLine, shutLine } from './calendar-words.ts';
import type { Order } from './order.ts';
import { needed, Refusal } from './refusal.ts';

/** Where no breaks are said, a shift keeps those that it had. */
export async function setShift(order: Order): Promise<string> {
  const { options } = order;
  const name = needed(options, 'name').trim();
  const named = (await rulesNow(order)).filter((one) => one.name === name);
  // A desk can set Friday's apart from the others': one line here would take the place of both.
  if (named.length > 1)
    throw new Refusal(`--name: ${name} is several shifts: change it at the desk, or drop-shift first.`);
  const before = named[0]?.breaks ?? [];
  const rule = shiftRuleSchema.parse({
    name,
    days: daysIn(needed(options, 'days')),
    from: needed(options, 'from'),
    to: needed(options, 'to'),
    breaks: options.breaks === undefined ? before : breaksIn(options.breaks),
  });
  if (options.breaks !== undefined) refuseBreaksOutside([rule]);
  await changeRules(order, (rules) => [...rules.filter((one) => one.name !== name), rule]);
  return `${ruleLine(rule)}.`;
}

export async function dropShift(order: Order): Promise<string> {
  const name = needed(order.options, 'name').trim();
  await rulesNamed(order, name);
  await changeRules(order, (rules) => rules.filter((rule) => rule.name !== name));
  return `${name} is dropped.`;
}

/** Of every shift of that name, whatever its days. */
export async function setBreaks(order: Order): Promise<string> {
  const name = needed(order.options, 'name').trim();
  const breaks = breaksIn(needed(order.options, 'breaks'));
  const changed = (await rulesNamed(order, name)).map((rule) => shiftRuleSchema.parse({ ...rule, breaks }));
  refuseBreaksOutside(changed);
  await changeRules(order, (rules) => rules.map((rule) => (rule.name === name ? { ...rule, breaks } : rule)));
  return `${changed.map(ruleLine).join('\n')}.`;
}

/** Said again with the same first day, it replaces what was said before. */
export async function setShut(order: Order): Promise<string> {
  const { options } = order;
  const from = needed(options, 'from');
  const shut = shutDaysSchema.parse({ from, to: options.to ?? from, name: needed(options, 'name').trim() });
  if (shut.to < shut.from) throw new Refusal(`--to: ${shut.to} is before ${shut.from}.`);
  await change(order, (calendar) => ({
    ...calendar,
    shut: [...calendar.shut.filter((one) => one.from !== shut.from), shut].sort(byFirstDay),
  }));
  return `Shut ${shutLine(shut)}. No shift begins on these days.`;
}

export async function dropShut(order: Order): Promise<string> {
  const day = needed(order.options, 'from');
  const { shut } = await order.ledger.calendar(order.site);
  const dropped = shut.find(({ from }) => from === day);
  if (dropped === undefined) throw new Refusal(`--from: no shut days begin on ${day}; see list.`);
  await change(order, (calendar) => ({
    ...calendar,
    shut: calendar.shut.filter(({ from }) => from !== day),
  }));
  return `No longer shut ${shutLine(dropped)}.`;
}

/** Said again with the same day and name, it replaces what was said before. */
export async function setOvertime(order: Order): Promise<string> {
  const { options } = order;
  const overtime = overtimeSchema.parse({
    day: needed(options, 'day'),
    name: needed(options, 'name').trim(),
    from: needed(options, 'from'),
    to: needed(options, 'to'),
    breaks: options.breaks === undefined ? [] : breaksIn(options.breaks),
  });
  refuseBreaksOutside([overtime]);
  await change(order, (calendar) => ({
    ...calendar,
    overtime: [...calendar.overtime.filter((one) => !isSame(one, overtime)), overtime].sort(byDay),
  }));
  return `Overtime ${overtimeLine(overtime)}.`;
}

export async function dropOvertime(order: Order): Promise<string> {
  const wanted = { day: needed(order.options, 'day'), name: needed(order.options, 'name').trim() };
  const { overtime } = await order.ledger.calendar(order.site);
  if (!overtime.some((one) => isSame(one, wanted))) {
    throw new Refusal(`--name: there is no overtime ${wanted.name} on ${wanted.day}; see list.`);
  }
  await change(order, (calendar) => ({
    ...calendar,
    overtime: calendar.overtime.filter((one) => !isSame(one, wanted)),
  }));
  return `Overtime ${wanted.name} on ${wanted.day} is dropped.`;
}

async function rulesNow({ ledger, site, book, now }: Order): Promise<readonly ShiftRule[]> {
  return rulesOn(await ledger.calendar(site), dayOn(book.timeZone, now));
}

async function rulesNamed(order: Order, name: string): Promise<readonly ShiftRule[]> {
  const named = (await rulesNow(order)).filter((rule) => rule.name === name);
  if (named.length === 0) throw new Refusal(`--name: there is no shift ${name}.`);
  return named;
}

async function change({ ledger, site, now }: Order, to: (calendar: Calendar) => Calendar): Promise<void> {
  await changeCalendar(ledger, site, now, to);
}

function changeRules(order: Order, to: (rules: readonly ShiftRule[]) => readonly ShiftRule[]): Promise<void> {
  const { book, now } = order;
  return change(order, (calendar) => withRulesToday(calendar, book.timeZone, now, to));
}

function isSame(one: Pick<Overtime, 'day' | 'name'>, other: Pick<Overtime, 'day' | 'name'>): boolean {
  return one.day === other.day && one.name === other.name;
}

function byFirstDay(a: Calendar['shut'][number], b: Calendar['shut'][number]): number {
  return a.from < b.from ? -1 : Number(a.from > b.from);
}

function byDay(a: Overtime, b: Overtime): number {
  return `${a.day} ${a.from}` < `${b.day} ${b.from}` ? -1 : 1;
}
