/** Every sentence of the desk's site page: what a site makes of its stages, routes, reminders, releases and racks. */
import type { Instant } from '../domain/instant.ts';
import type { Job } from '../domain/record/kinds.ts';
import type { Ways } from '../domain/site-book.ts';
import type { StepNeed } from '../domain/site-routes.ts';
import { calendarDay, count, when } from './format.ts';
import { jobNames } from './names.ts';

/** The calendar day of an instant in a zone, `2026-11-25`. */
export function dayAt(at: Instant, zone: string): string {
  const parts = new Intl.DateTimeFormat('en-GB', {
    timeZone: zone,
    calendar: 'iso8601',
    year: 'numeric',
    month: '2-digit',
    day: '2-digit',
  }).formatToParts(at);
  const part = (type: Intl.DateTimeFormatPartTypes) => parts.find((one) => one.type === type)?.value ?? '';
  return `${part('year')}-${part('month')}-${part('day')}`;
}

/** `Thu 10 Dec 2026`: a day of review can be a year away. */
export const dayWithYear = (day: string): string => `${calendarDay(day)} ${day.slice(0, 4)}`;

export const stepNeedNames: Readonly<Record<StepNeed, string>> = {
  always: 'always',
  'if-needed': 'if needed',
  never: 'never',
};

export const wayNames: Readonly<Record<keyof Ways, string>> = {
  receive: 'Done by logging a pair in',
  inspect: 'Done by logging its condition',
  owner: 'The owner’s yes',
  lastFrom: 'The last is taken at',
  lastTo: 'The last is free again after',
  check: 'Final check',
  box: 'Shoes and the owner’s things put together',
  together: 'Left and right together again before',
  colour: 'Colour: done again on both shoes',
};

export const site = {
  page: 'Site',
  tabs: {
    routes: 'Routes',
    reminders: 'Reminders',
    people: 'People and releases',
    racks: 'Racks',
    shifts: 'Shifts and figures',
  },
  tabsName: 'Parts of the site',

  // Who can change it
  nobodyAtDesk: 'Say who is at the desk: a supervisor can change what stands here.',
  notSupervisor: (name: string | null) =>
    `${name ?? 'Whoever is at the desk'} can look. A supervisor can change what stands here.`,

  // Saving
  unsaved: (changes: number) => `${count(changes, 'change')} not saved yet.`,
  unsavedHint: 'All is saved together; each bench takes it over when it next reaches the server.',
  save: 'Save',
  saving: 'Saving',
  takeBack: 'Undo the last',
  takeAllBack: 'Drop all',
  saved: (version: number) => `Saved. This is version ${version} of the site’s book.`,
  changedElsewhere:
    'The site was changed elsewhere in the meantime. It is shown as it is now, with your changes on top: look, then save again.',
  overtaken: 'The site was changed elsewhere, and your changes do not fit it any more. They are dropped.',
  refusedHere:
    'The server did not take it from whoever is at the desk. Only a supervisor can change the site.',
  saveFirst: 'No more fit into one saving. Save these first.',

  // Routes
  stage: 'Stage',
  mustComeFirst: 'Must come first',
  version: (version: number, since: Instant, now: Instant, zone: string) =>
    since === 0
      ? `Version ${version} of the routes, as the catalogue has them.`
      : `Version ${version} of the routes, since ${when(since, now, zone)}.`,
  noRoutes:
    'The site has no routes yet: these are the catalogue’s. The first change makes them the site’s own.',
  keepsVersion: 'A pair keeps the version under which it was logged.',
  seed: 'The catalogue’s order is a start from common practice; no source has all of it. The site knows better.',
  cell: (stage: string, job: Job, need: StepNeed) => `${stage}, ${jobNames[job]}: ${stepNeedNames[need]}`,
  usually: 'usually',
  needTitle: (kind: 'hard' | 'usual') =>
    kind === 'hard' ? 'Stops the stage until it is done' : 'Habit of the house: never stops a stage',
  takeNeedAway: (needs: string, stage: string) => `${stage} need not wait for ${needs}`,
  makeUsual: (needs: string) => `${needs}: only the habit of the house`,
  makeHard: (needs: string) => `${needs}: must come first`,
  close: 'Close',
  name: 'Name',
  plain: 'What the owner is told: “Your shoes are …”',
  onMachine: 'machine',
  machine: 'Done on a machine: a hand must be released for it',
  waitLeast: 'Shortest wait after it, minutes',
  waitMost: 'Longest wait, minutes',
  waitHint: 'Left empty, nothing has to dry, cool or mellow. A wait is a caution, never a lock.',
  take: 'Take it over',
  addNeed: 'Has to wait for',
  addNeedHard: 'Add as must',
  addNeedUsual: 'Add as habit',
  chooseStage: 'Choose a stage',
  up: 'Move up',
  down: 'Move down',
  remove: 'Take this stage away',
  removeHint:
    'What it waited for is handed on to the stages that waited for it. Pairs that are logged already keep it.',
  needsNothing: 'nothing',
  ownStage: 'A stage of the site’s own',
  ownStageHint: 'For work that the catalogue does not have. It gets no reminders of the catalogue’s.',
  code: 'Code',
  standsBefore: 'Stands before',
  atTheEnd: 'at the end',
  takenBy: 'On which jobs',
  waitsFor: 'Waits for',
  add: 'Add',
  gone: 'Taken away',
  goneHint: 'Old pairs may still name these.',
  bringBack: 'Bring back',
  ways: 'Where it happens on the pair’s way',
  none: 'nowhere',
  lastsHalf: 'Choose the other stage too: it counts once both are chosen.',
  addStage: 'Add a stage',
  notFor: (stage: string, way: string) => `${way}: not ${stage}`,

  // Reminders
  prevail: 'The machine’s manual, the site’s risk assessment and local law come before every line here.',
  notTraining: 'A reminder is no training, and says of no machine that nothing can happen at it.',
  overdueCount: (lines: number) => `${count(lines, 'review')} overdue`,
  unconfirmedCount: (lines: number) => `${lines} to confirm`,
  reminderStage: 'Reminders at',
  stageWith: (name: string, late: number, unconfirmed: number) =>
    [
      name,
      ...(late > 0 ? [site.overdueCount(late)] : []),
      ...(unconfirmed > 0 ? [site.unconfirmedCount(unconfirmed)] : []),
    ].join(' · '),
  overdue: 'Review overdue',
  wordedBy: (by: string, on: string, review: string) =>
    `${by}, ${dayWithYear(on)}. Review by ${dayWithYear(review)}.`,
  offBy: (by: string, on: string, review: string) =>
    `Switched off by ${by}, ${dayWithYear(on)}. Review by ${dayWithYear(review)}.`,
  toConfirm: 'Waits to be confirmed, worded or switched off by the site’s competent person.',
  catalogueSays: (text: string) => `Catalogue: ${text}`,
  drawsOn: (sources: readonly string[]) => `Theme from ${sources.join('; ')}.`,
  marks: {
    source: 'Theme from a published source.',
    'common-practice': 'Common practice, no source.',
    'from-memory': 'From memory, no source.',
    'rule-of-thumb': 'Rule of thumb, no source.',
  },
  alsoAt: (stages: number) => (stages === 0 ? '' : `Shown at ${count(stages, 'other stage')} too.`),
  word: 'Word it',
  confirm: 'Confirm as it is',
  switchOff: 'Switch off',
  staysOff: 'Leave it off',
  restore: 'Back to the catalogue',
  text: 'Reminder, in one line',
  left: (length: number, most: number) => `${length} of ${most} characters`,
  author: 'Competent person',
  review: 'Review by',
  cancel: 'Cancel',

  // People
  releasesHint:
    'A hand with a list can clock in at the machine stages ticked here; a supervisor can let somebody through once. The list stands for the site’s own training records and replaces none.',
  hand: 'Hand',
  list: 'List',
  everyMachine: 'no list: every machine',
  listFor: (name: string) => `Keep a list for ${name}`,
  releasedFor: (name: string, stage: string) => `${name} released for ${stage}`,
  noMachines: 'No stage is marked as done on a machine.',
  noPeople: 'Nobody is in the site’s book yet.',
  roles: { hand: 'hand', supervisor: 'supervisor', office: 'office' },

  // Racks
  racksHint: 'A rack has a code that is printed and scanned, and a name that people say.',
  rack: 'Rack',
  rackCode: 'Code',
  pairsOn: 'Pairs on it',
  noRacks: 'There are no racks yet.',
  newRack: 'A new rack',
  rename: 'Rename',
  removeRack: 'Take away',
};
