/**
 * Changes to the site's book, made at its desk.
 *
 * - A change stands or is refused with its faults by name; there is no half of one.
 * - Changed routes become a new version, whatever number of changes led there. Versions before it stay as they were,
 *   since pairs logged under them keep theirs; and so does the name of every stage that one of them names.
 * - Pure: the book's own version is raised by the ledger that keeps it.
 */
import { DAY_MS } from './instant.ts';
import { reminderLines } from './reminder-wording.ts';
import type { SiteBook } from './site-book.ts';
import type { ChangeContext, Outcome, SiteDraft } from './site-change-draft.ts';
import type { SiteFault } from './site-change-faults.ts';
import type { SiteChange } from './site-change-kinds.ts';
import { release, releaseList, setPersonal } from './site-change-people.ts';
import { addRack, nameRack, removeRack } from './site-change-racks.ts';
import { restoreReminder, switchOffReminder, wordReminder } from './site-change-reminders.ts';
import { changeNeed, moveStage, routesToChange, takeStage } from './site-change-routes.ts';
import {
  addStage,
  bringBackStage,
  machineStage,
  nameStage,
  removeStage,
  settleStage,
} from './site-change-stages.ts';
import { setWays } from './site-change-ways.ts';
import type { SiteRoutes } from './site-routes.ts';

/** As many as the book's schema holds. */
export const ROUTE_VERSIONS_MAX = 100;
/** No pair stays in the works for so long: a version superseded before then may make room for a new one. */
const VERSION_KEPT_MS = 400 * DAY_MS;

export type Changed = { readonly ok: SiteBook } | { readonly faults: readonly SiteFault[] };

/** The book after one change, or why it cannot be. The same object where nothing changed. */
export function changeSite(book: SiteBook, change: SiteChange, context: ChangeContext): Changed {
  const answer = changeSiteInOne(book, [change], context);
  return 'ok' in answer ? answer : { faults: answer.faults };
}

/**
 * The book after all the changes, each on top of the one before, with one new version of the routes; or the index
 * of the first that cannot be, and why.
 */
export function changeSiteInOne(
  book: SiteBook,
  changes: readonly SiteChange[],
  context: ChangeContext,
): { readonly ok: SiteBook } | { readonly faults: readonly SiteFault[]; readonly at: number } {
  let draft: SiteDraft = { before: book, book, routes: routesToChange(book) };
  for (const [at, change] of changes.entries()) {
    const outcome = changeOnce(draft, change, context);
    if ('faults' in outcome) return { faults: outcome.faults, at };
    draft = outcome.ok;
  }
  const done = sealed(draft, context);
  return 'ok' in done ? done : { faults: done.faults, at: changes.length - 1 };
}

function changeOnce(draft: SiteDraft, change: SiteChange, context: ChangeContext): Outcome<SiteDraft> {
  switch (change.change) {
    case 'name-stage':
      return nameStage(draft, change);
    case 'settle-stage':
      return settleStage(draft, change);
    case 'machine-stage':
      return machineStage(draft, change);
    case 'take-stage':
      return takeStage(draft, change, context);
    case 'move-stage':
      return moveStage(draft, change);
    case 'add-stage':
      return addStage(draft, change);
    case 'remove-stage':
      return removeStage(draft, change, context);
    case 'bring-back-stage':
      return bringBackStage(draft, change);
    case 'need':
      return changeNeed(draft, change);
    case 'set-ways':
      return setWays(draft, change);
    case 'word-reminder':
      return wordReminder(draft, change, context);
    case 'switch-off-reminder':
      return switchOffReminder(draft, change, context);
    case 'restore-reminder':
      return restoreReminder(draft, change);
    case 'release':
      return release(draft, change);
    case 'release-list':
      return releaseList(draft, change);
    case 'personal':
      return setPersonal(draft, change);
    case 'add-rack':
      return addRack(draft, change);
    case 'name-rack':
      return nameRack(draft, change);
    case 'remove-rack':
      return removeRack(draft, change);
  }
}

/** The draft as a book: stages in the usual order, a new version of changed routes, another of changed wordings. */
function sealed(draft: SiteDraft, { now }: ChangeContext): Outcome<SiteBook> {
  const { before, book, routes: drafted } = draft;
  const routesChanged = !sameRoutes(drafted, routesToChange(before));
  const wordingsChanged = book.reminders.wordings !== before.reminders.wordings;
  if (book === before && !routesChanged) return { ok: before };
  const routes = routesChanged ? withVersion(before.routes, drafted, now) : before.routes;
  if (routes === null) {
    return { faults: [{ fault: 'too-many', what: 'versions', most: ROUTE_VERSIONS_MAX }] };
  }
  return {
    ok: {
      ...book,
      routes,
      stages: inUsualOrder(wordingsChanged ? withReminds(book) : book.stages, drafted),
      reminders: { ...book.reminders, version: before.reminders.version + (wordingsChanged ? 1 : 0) },
    },
  };
}

function sameRoutes(one: SiteDraft['routes'], other: SiteDraft['routes']): boolean {
  return JSON.stringify([one.steps, one.needs]) === JSON.stringify([other.steps, other.needs]);
}

/** The kept versions and a new one; null where all of them are still wanted. */
function withVersion(
  kept: readonly SiteRoutes[],
  { steps, needs }: SiteDraft['routes'],
  now: number,
): SiteRoutes[] | null {
  const version = (kept.at(-1)?.version ?? 0) + 1;
  const fresh = { version, since: now, steps: [...steps], needs: [...needs] };
  if (kept.length < ROUTE_VERSIONS_MAX) return [...kept, fresh];
  const superseded = kept[1]?.since ?? now;
  return now - superseded > VERSION_KEPT_MS ? [...kept.slice(1), fresh] : null;
}

/** Stages that are on no route any more stand last. */
function inUsualOrder(stages: SiteBook['stages'], { steps }: SiteDraft['routes']): SiteBook['stages'] {
  const codes = steps.map(({ stage }) => stage);
  const place = (index: number) => (index < 0 ? codes.length : index);
  return [...stages].sort((a, b) => place(codes.indexOf(a.code)) - place(codes.indexOf(b.code)));
}

/** A stage of which every line was switched off asks for no tap. */
function withReminds(book: SiteBook): SiteBook['stages'] {
  return book.stages.map((stage) => ({ ...stage, reminds: reminderLines(stage.code, book).length > 0 }));
}
