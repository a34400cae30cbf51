/** Every sentence of the shift sheet. */
import type { FigureName } from '../domain/figures/members-of.ts';
import type { Instant } from '../domain/instant.ts';
import { HOUR_MS, MINUTE_MS } from '../domain/instant.ts';
import { calendarDay, clockTime, count, dayOf, length, when } from './format.ts';

/** Pairs in halves: `3`, `3½`, `½`. */
export function pairs(number: number): string {
  const whole = Math.floor(number);
  const half = number - whole >= 0.25 ? '½' : '';
  return whole === 0 && half !== '' ? half : `${whole}${half}`;
}

export const countPairs = (number: number): string =>
  `${pairs(number)} ${number > 0 && number <= 1 ? 'pair' : 'pairs'}`;

/** `11 min`, `1 h 05`; under ten minutes to the half. */
export function work(ms: number): string {
  if (ms < MINUTE_MS) return `${Math.round(ms / 1000)} s`;
  if (ms < 10 * MINUTE_MS) return `${Math.round((ms * 2) / MINUTE_MS) / 2} min`;
  if (ms < HOUR_MS) return `${Math.round(ms / MINUTE_MS)} min`;
  const minutes = Math.round(ms / MINUTE_MS);
  return `${Math.floor(minutes / 60)} h ${String(minutes % 60).padStart(2, '0')}`;
}

/** Median and 9 in 10, the unit said once where both have the same: `24 (30) min`. */
export function spread(median: number, ninth: number | null): string {
  if (ninth === null) return work(median);
  const [one, other] = [work(median), work(ninth)];
  return one.endsWith(' min') && other.endsWith(' min')
    ? `${one.slice(0, -4)} (${other.slice(0, -4)}) min`
    : `${one} (${other})`;
}

/** In running text: `46 pairs and one shoe`. */
function spokenPairs(number: number): string {
  const whole = Math.floor(number);
  if (whole === number) return countPairs(number);
  return whole === 0 ? 'one shoe' : `${countPairs(whole)} and one shoe`;
}

/** `5 minutes`, `2 hours`, `19 hours`: of what is only an estimate. */
function roughly(ms: number): string {
  return ms < HOUR_MS
    ? count(Math.max(1, Math.round(ms / MINUTE_MS)), 'minute')
    : count(Math.round(ms / HOUR_MS), 'hour');
}

export const percent = (share: number): string => `${Math.round(share * 100)} %`;

export interface HeldBack {
  readonly name: string;
  readonly waiting: number;
  readonly oldest: Instant;
  readonly queueMs: number | null;
  readonly utilisation: number | null;
}

export const shiftWords = {
  page: 'Shift',
  heading: (name: string, at: Instant, zone: string) => `${name} shift, ${dayOf(at, zone)}`,
  overtime: 'overtime',
  hours: (from: Instant, to: Instant, zone: string) => `${clockTime(from, zone)}–${clockTime(to, zone)}`,
  on: (hands: number) => `${hands} on`,
  running: (at: Instant, zone: string) => `Runs still: as of ${clockTime(at, zone)}`,
  before: 'Shift before',
  after: 'Shift after',
  latest: 'Newest shift',
  choose: 'Which shift',
  print: 'Print',
  asking: 'Asking the server for the sheet',
  preparing: (done: number, of: number) =>
    of === 0
      ? 'The server is going through the records for the first time.'
      : `The server is going through the records for the first time: ${done} of ${count(of, 'pair')}.`,
  noShift: 'No shift has begun yet. A supervisor enters the shifts under The site, Shifts and figures.',
  noSuchShift: 'No shift began at that time. The site’s shifts may have been changed.',

  boxed: (number: number, usual: number | null, day: ShiftDay) =>
    usual === null ? `${wentOut(number, day)}.` : `${wentOut(number, day)}, ${against(number, usual, day)}.`,
  holdsBack: ({ name }: HeldBack) => `${name} holds the line back:`,
  why: ({ waiting, oldest, queueMs, utilisation }: HeldBack, now: Instant, zone: string) => {
    const waits = `${spokenPairs(waiting)} ${waiting <= 1 ? 'waits' : 'wait'} there, the oldest since ${when(oldest, now, zone)}`;
    const takes = queueMs === null ? '' : `; that is some ${roughly(queueMs)} of work`;
    const busy =
      utilisation === null
        ? ', and nobody was on it in this shift'
        : `, and its hands were busy ${percent(utilisation)} of the time`;
    return `${waits}${takes}${busy}.`;
  },
  nothingWaits: 'Nothing waits anywhere.',

  stages: 'Stage by stage',
  showBelow: (stage: string) => `${stage}: show its days below`,
  heldHere: 'holds the line back',
  columns: {
    stage: 'Stage',
    in: 'In',
    out: 'Out',
    sentBack: 'Sent back here',
    firstPass: 'First pass',
    touch: 'Work, median',
    ninth: '(9 in 10)',
    waiting: 'Waiting now',
    waited: 'Waiting at the end',
    oldest: 'Oldest',
    shifts: 'Out, last shifts',
  },
  nothingAt: 'Nothing at',
  open: (figure: string, stage: string) => `${figure}, ${stage}: show the records`,
  foot:
    'Every number opens to its records. Work leaves out breaks and is shared among pairs open at once. First pass: finished here and ' +
    'not sent back to here since. One shoe counts ½. Median and 9 in 10 by Hyndman and Fan’s type 6.',
  amended: (records: number) =>
    `${count(records, 'time')} of this shift ${records === 1 ? 'was' : 'were'} put right.`,

  line: 'The line',
  inWork: 'Pairs in the works',
  rolled: 'Rolled yield',
  rolledHint:
    'first passes of all stages multiplied: the share that would go through without being sent back once',
  lead: 'Mean lead time',
  leadDays: (days: number) => `${days.toFixed(1)} days`,
  little: 'Little’s law closes to',
  littleHint: (perDay: number, inWork: number) =>
    `over four weeks ${perDay.toFixed(1)} pairs a day left and ${inWork.toFixed(0)} were here; by those figures the lead time differs from the one counted if this is far from 100\u00a0%`,

  lookingBack: 'Looking back over the weeks before',
  noLookBack: 'The weeks before could not be had.',

  hoursTitle: 'Out of the works, hour by hour',
  thisShift: (number: number) => `this shift, ${pairs(number)}`,
  usualDay: (weekday: string, number: number) => `a usual ${weekday}, ${pairs(number)}`,
  noneOut: 'No pair has gone out in this shift.',
  noneUsual: (weekday: string) => `No pair has gone out in this shift, and on a usual ${weekday} none does.`,
  noUsual: 'There are too few such days yet to say what is usual.',

  strips: 'Work at each bench',
  stripSaid: (spells: number) => `${count(spells, 'piece')} of work`,
  stripsHint: 'A bar for each pair clocked in; open at the right: the end is not known.',
  strip: (pair: string, from: string, to: string | null) =>
    to === null ? `${pair}, from ${from}, end not known` : `${pair}, ${from} to ${to}`,
  noStrips: 'Nobody was clocked in to a pair.',

  queues: 'How many waited, over the shift',
  ordinary: 'Unusual or ordinary',
  ordinaryHint:
    'Pairs out on each day with the natural limits of an individuals chart (2.66 times the mean moving range). A day within them ' +
    'is ordinary: nobody is to be praised or blamed for it.',
  tooFew: 'Too few days yet for natural limits: ten are needed.',
  outside: (days: number) => `${count(days, 'day')} outside the limits`,
  allInside: 'no day outside the limits',
  limits: (lower: number, upper: number) =>
    `${pairs(Math.round(lower * 2) / 2)} to ${pairs(Math.round(upper * 2) / 2)}`,
  day: (at: string, out: number) => `${at}: ${pairs(out)}`,
  whichStage: 'Stage',

  hands: 'Who worked',
  handsHint:
    'Only for supervisors, and for each hand alone: scan your badge. Times of work by eye and hand vary with the pair; this is no ' +
    'ranking, and nothing here is ordered by speed.',
  handsOff: 'This site shows no figures about single persons.',
  handsLapsed: 'Figures about single persons are no longer shown for this shift: the site lets them lapse.',
  badge: 'Badge',
  show: 'Show',
  hide: 'Hide',
  /** Why nobody is shown. */
  noHands: {
    'unknown-badge': 'The site does not know this badge.',
    off: 'This site shows no figures about single persons.',
    lapsed: 'They are no longer shown for this shift.',
  },
  ownOnly: (name: string) => `Shown for ${name} alone.`,
  hand: 'Hand',
  onTime: 'On',
  touchTime: 'Work on pairs',
  handStages: 'Pairs out, by stage',
  nobody: 'Nobody was on.',
  askingHands: 'Asking for them',

  risk: 'Promises at risk',
  riskLine: (ready: string | null, promised: string | null) =>
    [
      ready === null ? 'no day in sight' : `ready ${calendarDay(ready)}`,
      promised === null ? '' : `promised ${calendarDay(promised)}`,
    ]
      .filter((part) => part !== '')
      .join(', '),
  sure: (share: number) =>
    share < 0.05
      ? 'will miss its day'
      : share > 0.95
        ? 'will keep its day'
        : `keeps its day in ${Math.round(share * 10)} of 10 cases`,
  noRisk: 'No promise that is still ahead is likely to be missed.',
  noForecast: 'There is no forecast.',
  forecasting: 'Running through the queues as they stand',
  basis: (spells: number, weeks: number, runs: number) =>
    `Reckoned from ${count(spells, 'piece')} of work in ${count(Math.max(1, Math.round(weeks)), 'week')}, and the queues as they stand (${runs} runs).`,
  lateAlready: (late: number) => `${countPairs(late)} late already`,
  moreRisk: (more: number) => `and ${count(more, 'more pair', 'more pairs')}`,
  hangsOn: {
    queue: (stage: string | null) =>
      stage === null ? 'waits longest in a queue' : `waits longest at ${stage}`,
    owner: () => 'hangs on the owner’s answer',
    last: () => 'hangs on its last',
    settling: () => 'hangs on drying',
    'set-aside': () => 'is set aside',
    'sent-back': () => 'hangs on being sent back',
    work: () => 'hangs on the work left',
  },

  takeAway: {
    title: 'Take away',
    hint: 'People are in these files by a pseudonym, which another export does not share.',
    busy: 'Making the file',
    failed: 'The file could not be made. Is the network on? Nothing was saved.',
    files: {
      'sheet.csv': 'This sheet, CSV',
      'spells.csv': 'Work of this day, CSV',
      'records.csv': 'Records of this day, CSV',
      'log.ocel.json': 'Event log of this day’s pairs, OCEL 2.0',
      'log.xes': 'Event log of this day’s pairs, XES',
    },
  },
  behind: {
    title: (figure: string, of: string | null) => (of === null ? figure : `${figure}, ${of}`),
    none: 'Nothing stands behind this number.',
    more: (members: number) => `and ${count(members, 'more pair', 'more pairs')}: the export has them all`,
    close: 'Close',
    half: 'one shoe',
    asking: 'Asking for the records',
    failed: 'The records could not be had: the server cannot be reached.',
    nobody: 'nobody on',
  },
  figures: {
    in: 'Clocked in',
    out: 'Finished',
    'sent-back-from': 'Sent back from here',
    'sent-back-to': 'Sent back to here',
    'first-pass': 'Finished and not sent back',
    touch: 'Work',
    wait: 'Wait before',
    waiting: 'Waiting',
    'end-unknown': 'End not known',
    'in-work': 'In the works',
    boxed: 'Went out',
    'hand-touch': 'Work on pairs',
    'hand-out': 'Finished',
    'pair-lead': 'Lead time',
    'pair-touch': 'Work',
    'handed-back': 'Given back unfinished',
    'rolled-yield': 'Finished and not sent back',
    'holds-back': 'Waiting',
    working: 'In work',
    utilisation: 'Work within the shift',
    amended: 'Times put right',
  } satisfies Readonly<Record<FigureName, string>>,
  length,
};

/** Whether the shift runs still, and its weekday. */
interface ShiftDay {
  readonly runs: boolean;
  readonly weekday: string;
}

function wentOut(number: number, { runs }: ShiftDay): string {
  const many = number === 0 ? 'No pair' : countPairs(number);
  const one = number <= 1;
  return runs ? `${many} ${one ? 'has' : 'have'} gone out so far` : `${many} went out`;
}

function against(number: number, usual: number, { runs, weekday }: ShiftDay): string {
  const more = Math.round((number - usual) * 2) / 2;
  const day = runs ? `usual by now on a ${weekday}` : `on a usual ${weekday}`;
  if (more === 0 && number === 0) return runs ? `as is ${day}` : `as ${day}`;
  if (more === 0) return `as many as ${runs ? 'is ' : ''}${day}`;
  const what = more > 0 ? `${pairs(more)} more` : `${pairs(-more)} fewer`;
  return `${what} than ${runs ? 'is ' : ''}${day}`;
}

/** When one pair should be ready, on its page. */
export const readyWords = {
  fact: 'Should be ready',
  none: 'Not reckoned yet, or its way is not known well enough: look again in five minutes.',
  day: ({ ready, early, late }: Readonly<Record<'ready' | 'early' | 'late', string | null>>): string => {
    if (ready === null) return 'No day in sight.';
    if (early === ready && late === ready) return calendarDay(ready);
    const [from, to] = [early ?? ready, late === null ? 'later than can be told' : calendarDay(late)];
    return `most likely ${calendarDay(ready)}, nearly surely between ${calendarDay(from)} and ${to}`;
  },
  assumed: 'Some of this is assumed: the site’s records have met it too seldom.',
};
