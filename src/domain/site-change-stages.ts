/** Changes to the stages themselves: what they are called, how they are done, and the site's own. */
import { siteRoutes, siteStages } from './catalogue/site-start.ts';
import { STAGES, stageByCode } from './catalogue/stages.ts';
import { asStageCode, type StageCode } from './ids.ts';
import { DAY_MS, MINUTE_MS } from './instant.ts';
import { stageCodeSchema } from './record/envelope.ts';
import type { SiteBook, Stage, Ways } from './site-book.ts';
import {
  type ChangeContext,
  type Outcome,
  type RoutesDraft,
  refused,
  type SiteDraft,
  typedLine,
  withBook,
} from './site-change-draft.ts';
import type { ChangeOf } from './site-change-kinds.ts';
import { hasStage, insertedBefore, withRoutes } from './site-change-routes.ts';

const NAME_MAX = 40;
const PLAIN_MAX = 60;
const STAGES_MAX = 64;
const WAIT_DAYS_MAX = 30;
const WAIT_MINUTES_MAX = (WAIT_DAYS_MAX * DAY_MS) / MINUTE_MS;

/** What the site calls a stage; a stage that it never did goes by the catalogue's name. */
export function stageName(book: SiteBook, stage: StageCode): string {
  return book.stages.find(({ code }) => code === stage)?.name ?? stageByCode(stage)?.name ?? stage;
}

/** The stage as the book keeps it, or as it would keep it once the site does it. Null for nobody's. */
export function stageIn(book: SiteBook, stage: StageCode): Stage | null {
  const ofCatalogue = stageByCode(stage);
  const kept = book.stages.find(({ code }) => code === stage);
  return kept ?? (ofCatalogue === undefined ? null : (siteStages([ofCatalogue])[0] ?? null));
}

/** The book's stages with one replaced, or added where the site did not have it. */
export function withStage(draft: SiteDraft, stage: Stage): SiteBook['stages'] {
  const { stages } = draft.book;
  return stages.some(({ code }) => code === stage.code)
    ? stages.map((one) => (one.code === stage.code ? stage : one))
    : [...stages, stage];
}

export function nameStage(draft: SiteDraft, change: ChangeOf<'name-stage'>): Outcome<SiteDraft> {
  const stage = stageIn(draft.book, change.stage);
  if (stage === null) return refused({ fault: 'stage-unknown', stage: change.stage });
  const name = freeName(draft, change.name, stage.code);
  const plain = typedLine(change.plain, 'plain', PLAIN_MAX);
  if ('faults' in name || 'faults' in plain) return bothFaults(name, plain);
  return withBook(draft, { stages: withStage(draft, { ...stage, name: name.ok, plain: plain.ok }) });
}

export function settleStage(
  draft: SiteDraft,
  { stage: code, settles }: ChangeOf<'settle-stage'>,
): Outcome<SiteDraft> {
  const stage = stageIn(draft.book, code);
  if (stage === null) return refused({ fault: 'stage-unknown', stage: code });
  if (settles !== null && settles.least > settles.most) return refused({ fault: 'wait', ...settles });
  if (settles !== null && settles.most > WAIT_MINUTES_MAX) {
    return refused({ fault: 'wait-long', days: WAIT_DAYS_MAX });
  }
  return withBook(draft, { stages: withStage(draft, { ...stage, settles }) });
}

export function machineStage(
  draft: SiteDraft,
  { stage: code, machine }: ChangeOf<'machine-stage'>,
): Outcome<SiteDraft> {
  const stage = stageIn(draft.book, code);
  if (stage === null) return refused({ fault: 'stage-unknown', stage: code });
  return withBook(draft, { stages: withStage(draft, { ...stage, machine }) });
}

/** A stage of the site's own. A code of the catalogue stays the catalogue's, since its reminders go by it. */
export function addStage(draft: SiteDraft, change: ChangeOf<'add-stage'>): Outcome<SiteDraft> {
  const { book, routes } = draft;
  const code = asStageCode(change.code.trim().toUpperCase());
  if (!stageCodeSchema.safeParse(code).success) return refused({ fault: 'code-form', code: change.code });
  if (stageIn(book, code) !== null || hasStage(routes, code)) {
    return refused({ fault: 'code-taken', stage: code });
  }
  if (Math.max(book.stages.length, routes.steps.length) >= STAGES_MAX) {
    return refused({ fault: 'too-many', what: 'stages', most: STAGES_MAX });
  }
  const name = freeName(draft, change.name, code);
  const plain = typedLine(change.plain, 'plain', PLAIN_MAX);
  if ('faults' in name || 'faults' in plain) return bothFaults(name, plain);
  if (change.takes.every((need) => need === 'never')) return refused({ fault: 'no-job-takes', stage: code });
  if (change.before !== null && !hasStage(routes, change.before)) {
    return refused({ fault: 'stage-unknown', stage: change.before });
  }
  const stage = { code, name: name.ok, plain: plain.ok, machine: false, reminds: false, settles: null };
  const needs = [...new Set(change.needs)].map((earlier) => ({
    stage: code,
    needs: earlier,
    kind: 'hard' as const,
  }));
  return withRoutes(
    { ...draft, book: { ...book, stages: [...book.stages, stage] } },
    {
      steps: insertedBefore(routes.steps, { stage: code, need: [...change.takes] }, change.before),
      needs: [...routes.needs, ...needs],
    },
  );
}

/** Takes a stage off the routes. Its name stays in the book, for the pairs and records that name it. */
export function removeStage(
  draft: SiteDraft,
  { stage }: ChangeOf<'remove-stage'>,
  { pairsOpenAt }: ChangeContext,
): Outcome<SiteDraft> {
  const { before, book, routes } = draft;
  if (!hasStage(routes, stage)) return refused({ fault: 'stage-unknown', stage });
  if (stage === book.closingStage) return refused({ fault: 'closing', stage });
  const way = WAYS_OF_ONE.find((one) => book.ways[one] === stage);
  if (way !== undefined) return refused({ fault: 'has-way', stage, way });
  const pairs = pairsOpenAt.get(stage) ?? 0;
  if (pairs > 0) return refused({ fault: 'open-pairs', stage, pairs });
  const stays = before.stages.some(({ code }) => code === stage);
  const without = (codes: readonly StageCode[]) => codes.filter((code) => code !== stage);
  return withRoutes(
    {
      ...draft,
      book: {
        ...book,
        stages: stays ? book.stages : book.stages.filter(({ code }) => code !== stage),
        ways: { ...book.ways, together: without(book.ways.together), colour: without(book.ways.colour) },
      },
    },
    { steps: routes.steps.filter((step) => step.stage !== stage), needs: handedOn(routes.needs, stage) },
  );
}

const WAYS_OF_ONE = [
  'owner',
  'lastFrom',
  'lastTo',
  'check',
  'box',
] as const satisfies readonly (keyof Ways)[];

/** The needs without a stage: who waited for it now waits for what it waited for. Habits are not handed on. */
function handedOn(needs: RoutesDraft['needs'], gone: StageCode): RoutesDraft['needs'] {
  const earlier = needs.filter(({ stage, kind }) => stage === gone && kind === 'hard');
  const rest = needs.filter((need) => need.stage !== gone && need.needs !== gone);
  const handed = needs
    .filter((need) => need.needs === gone && need.kind === 'hard')
    .flatMap(({ stage }) => earlier.map((need) => ({ stage, needs: need.needs, kind: 'hard' as const })));
  const same = (one: { stage: StageCode; needs: StageCode }, other: typeof one) =>
    one.stage === other.stage && one.needs === other.needs;
  return [
    ...rest.filter((need) => !handed.some((one) => same(one, need))),
    ...handed.filter((need, index) => handed.findIndex((one) => same(one, need)) === index),
  ];
}

/** Puts a stage back where it stood when it was last on the routes, with the needs that it had. */
export function bringBackStage(
  draft: SiteDraft,
  { stage: code }: ChangeOf<'bring-back-stage'>,
): Outcome<SiteDraft> {
  const { before, book, routes } = draft;
  if (hasStage(routes, code)) return { ok: draft };
  const known = [siteRoutes(STAGES), ...before.routes].findLast((version) => hasStage(version, code));
  const stage = stageIn(book, code);
  const step = known?.steps.find((one) => one.stage === code);
  if (known === undefined || stage === null || step === undefined) {
    return refused({ fault: 'stage-unknown', stage: code });
  }
  if (routes.steps.length >= STAGES_MAX)
    return refused({ fault: 'too-many', what: 'stages', most: STAGES_MAX });
  const later = known.steps.slice(known.steps.indexOf(step) + 1).map((one) => one.stage);
  const next = routes.steps.find((one) => later.includes(one.stage))?.stage ?? null;
  const needs = known.needs.filter(
    (need) =>
      (need.stage === code && hasStage(routes, need.needs)) ||
      (need.needs === code && hasStage(routes, need.stage)),
  );
  return withRoutes(
    { ...draft, book: { ...book, stages: withStage(draft, stage) } },
    { steps: insertedBefore(routes.steps, step, next), needs: [...routes.needs, ...needs] },
  );
}

function freeName({ book, routes }: SiteDraft, typed: string, own: StageCode): Outcome<string> {
  const name = typedLine(typed, 'stage', NAME_MAX);
  if ('faults' in name) return name;
  const lower = name.ok.toLowerCase();
  const taken = routes.steps.some(
    ({ stage }) => stage !== own && stageName(book, stage).toLowerCase() === lower,
  );
  return taken ? refused({ fault: 'name-taken', name: name.ok }) : name;
}

function bothFaults(...outcomes: readonly Outcome<unknown>[]) {
  return refused(...outcomes.flatMap((one) => ('faults' in one ? one.faults : [])));
}
