/** Every sentence of what a supervisor looks at when the shift ends. */
import { faultById } from '../domain/catalogue/faults.ts';
import type { Weight } from '../domain/record/kinds.ts';
import type { ShiftEndItem, ShiftEndKind } from '../domain/shift-end-items.ts';
import { count, when } from './format.ts';
import { benchShown, type Naming } from './whereabouts.ts';
import { handShown, stageShown } from './whereabouts-account.ts';

const names: Readonly<Record<ShiftEndKind, string>> = {
  'clocked-in': 'Still clocked in',
  'without-a-name': 'Stopped or set aside by nobody',
  stopped: 'Stopped or set aside',
  'out-of-use': 'Machines out of use',
  parted: 'Left and right apart',
  'not-seen': 'Not seen for two days',
  learners: 'Apprentice’s work to look at',
  'for-owner': 'Waiting for the owner',
  'for-last': 'Waiting for a last',
  'for-part': 'Waiting for a part',
  'for-closer': 'Waiting for a closer',
  'sent-back': 'Sent back in this shift',
  'first-thing': 'Ready first thing',
};

/** What must not stay so over night, what to mind, what to ask, and what only to know. */
export const endWeights: Readonly<Record<ShiftEndKind, Weight>> = {
  'clocked-in': 'stop',
  'without-a-name': 'stop',
  stopped: 'mind',
  'out-of-use': 'stop',
  parted: 'mind',
  'not-seen': 'mind',
  learners: 'mind',
  'for-owner': 'ask',
  'for-last': 'mend',
  'for-part': 'mend',
  'for-closer': 'mend',
  'sent-back': 'mend',
  'first-thing': 'mend',
};

export const endWords = {
  title: 'Before you go',
  none: 'None:',
  reading: 'This desk is still reading in its pairs: there may be more.',
  putRight: 'Put right before you go',
  putRightHint: 'what the records leave open; a supervisor settles it',
  looked: 'Looked at it',
  lookedWhy: 'looked at by a supervisor',
  lookedHint: 'A supervisor who says so at the top of the page can say that it has been looked at.',
  name: (kind: ShiftEndKind) => names[kind],
  more: (items: number) => `and ${count(items, 'more', 'more')}: the pairs’ own page finds them`,
};

/** As much as goes into a shape. */
export const countShown = (items: number): string => (items > 99 ? '99+' : String(items));

/** Under the name: the faults with how often each, or since when the oldest. */
export function endHint(kind: ShiftEndKind, items: readonly ShiftEndItem[], { book, now }: Naming): string {
  if (kind === 'sent-back') return byFault(items);
  const zone = book.timeZone;
  const [oldest] = items;
  if (oldest === undefined) return '';
  if (kind === 'first-thing') {
    const until = Math.max(...items.map((one) => one.until ?? now));
    return `${items.length === 1 ? 'dry' : 'all dry'} by ${when(until, now, zone)}`;
  }
  return `${items.length === 1 ? 'since' : 'the oldest since'} ${when(oldest.since, now, zone)}`;
}

function byFault(items: readonly ShiftEndItem[]): string {
  const counts = new Map<string, number>();
  for (const one of items) counts.set(faultName(one), (counts.get(faultName(one)) ?? 0) + 1);
  return [...counts]
    .sort(([, one], [, other]) => other - one)
    .map(([fault, times]) => (times === 1 ? fault : `${fault} ${times} ×`))
    .join('; ');
}

function faultName({ fault, why }: ShiftEndItem): string {
  return (fault === null ? undefined : faultById(fault)?.name) ?? why ?? '';
}

/** What stands beside a ticket: where, who, since when, until when. */
export function endLine(kind: ShiftEndKind, one: ShiftEndItem, naming: Naming): string {
  const { book, now } = naming;
  const zone = book.timeZone;
  const stage = one.stage === null ? null : stageShown(book, one.stage);
  const bench = one.bench === null ? null : benchShown(one.bench, naming);
  switch (kind) {
    case 'first-thing':
      return said([stage, `dry by ${when(one.until ?? now, now, zone)}`]);
    case 'sent-back':
      return said([`to ${stage}`, faultName(one), when(one.since, now, zone)]);
    case 'for-last':
    case 'for-closer':
    case 'for-owner':
      return said([stage, one.why, `since ${when(one.since, now, zone)}`]);
    default:
      return said([stage, bench, handShown(book, one.by), `since ${when(one.since, now, zone)}`]);
  }
}

/** The reason in whoever’s words it is, where the line does not have it. */
export function endWhy(kind: ShiftEndKind, { why }: ShiftEndItem): string | null {
  return kind === 'sent-back' || kind === 'for-owner' || kind === 'for-last' ? null : why;
}

function said(parts: readonly (string | null)[]): string {
  return parts.filter((part) => part !== null && part !== '').join(' · ');
}
