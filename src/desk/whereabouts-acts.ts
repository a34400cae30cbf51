/** The acts that the page about a pair has recorded. Each is made of what was typed, or says what is missing. */

import type { PairState } from '../domain/fold/pair-state.ts';
import type { PairId, RecordId, StageCode } from '../domain/ids.ts';
import { JOBS, type Job, type OwnerAnswer, type RecordOf } from '../domain/record/kinds.ts';
import { routesOf, type SiteBook } from '../domain/site-book.ts';
import { routeOfJob } from '../domain/site-routes.ts';
import { doneStages } from '../domain/way.ts';
import { actWords } from '../words/whereabouts-acts.ts';
import type { Act } from './office.ts';

/** What is to be recorded, or what is missing for it. */
export type Prepared =
  | { readonly is: 'acts'; readonly acts: readonly Act[] }
  | { readonly is: 'missing'; readonly says: string };

const acts = (...made: readonly Act[]): Prepared => ({ is: 'acts', acts: made });
const missing = (says: string): Prepared => ({ is: 'missing', says });

/** What was typed as a record takes it: on one line, without control characters, no longer than allowed. */
export function lineOf(text: string, most = 200): string {
  return text
    .replace(/[\p{Cc}\p{Zl}\p{Zp}]+/gu, ' ')
    .replace(/\p{Cs}/gu, '')
    .trim()
    .slice(0, most)
    .replace(/\p{Cs}/gu, '')
    .trim();
}

export function askOwner(pair: PairId, typed: string, note: RecordId | null): Prepared {
  const why = lineOf(typed);
  return why === '' ? missing(actWords.whyMissing) : acts({ kind: 'owner-asked', said: { pair, note, why } });
}

export interface Answered {
  readonly answer: OwnerAnswer | null;
  readonly job: Job;
  /** `2026-12-10`, or empty where the day is still wanted. */
  readonly promised: string;
  readonly words: string;
}

/** After a stop neither job nor promise is asked for: they stay what they were. */
export function answerOwner({ pair, details }: PairState, given: Answered): Prepared {
  if (details === null) return missing(actWords.neverLogged);
  const { answer } = given;
  if (answer === null) return missing(actWords.chooseFirst);
  const { job, promised } = answer === 'stop' ? details : given;
  if (!/^\d{4}-\d{2}-\d{2}$/.test(promised)) return missing(actWords.dayMissing);
  const words = lineOf(given.words);
  const said = { pair, answer, job, promised, words: words === '' ? null : words };
  return acts({ kind: 'owner-answered', said });
}

/** Only after the owner's stop. A last that is still in the pair is freed with it, in the same commit. */
export function handBack({ pair, owner, closedAt, last }: PairState, typed: string): Prepared {
  if (owner.is !== 'stopped' || closedAt !== null) return missing(actWords.noStopSaid);
  const why = lineOf(typed);
  if (why === '') return missing(actWords.handBackHowMissing);
  const freed: readonly Act[] = last === null ? [] : [{ kind: 'last-freed', said: { pair, last } }];
  return acts(...freed, { kind: 'handed-back', said: { pair, why } });
}

/** Details as they stand in the form; an empty maker's mark or wish is none. */
export type Typed = Readonly<
  Record<'ownerRef' | 'style' | 'last' | 'size' | 'fitting' | 'promised', string>
> & {
  readonly job: Job;
  readonly maker: string;
  readonly asked: string;
};

const LONGEST = { ownerRef: 60, style: 60, last: 20, size: 12, fitting: 12 } as const;
export const longestOf = (field: keyof Typed): number =>
  field in LONGEST ? LONGEST[field as keyof typeof LONGEST] : field === 'maker' ? 60 : 200;

/** Only what differs from what the writer saw is recorded, so that two desks can put different things right. */
export function amend({ pair, details, latestDetails }: PairState, typed: Typed, typedWhy: string): Prepared {
  if (details === null || latestDetails === null) return missing(actWords.neverLogged);
  const changes: RecordOf<'pair-amended'>['changes'] = {};
  for (const field of ['ownerRef', 'style', 'last', 'size', 'fitting'] as const) {
    const value = lineOf(typed[field], LONGEST[field]);
    if (value === '') return missing(actWords.empty(field));
    if (value !== details[field]) changes[field] = value;
  }
  if (!/^\d{4}-\d{2}-\d{2}$/.test(typed.promised)) return missing(actWords.dayMissing);
  if (typed.promised !== details.promised) changes.promised = typed.promised;
  if (typed.job !== details.job) changes.job = typed.job;
  for (const field of ['maker', 'asked'] as const) {
    const value = lineOf(typed[field], longestOf(field));
    const said = value === '' ? null : value;
    if (said !== details[field]) changes[field] = said;
  }
  if (Object.keys(changes).length === 0) return missing(actWords.nothingChanged);
  const why = lineOf(typedWhy);
  if (why === '') return missing(actWords.whyMissing);
  return acts({ kind: 'pair-amended', said: { pair, after: latestDetails, changes, why } });
}

export function notNeeded(pair: PairId, stage: StageCode | null, typed: string): Prepared {
  const why = lineOf(typed);
  if (stage === null) return missing(actWords.chooseFirst);
  return why === '' ? missing(actWords.whyMissing) : acts({ kind: 'not-needed', said: { pair, stage, why } });
}

export function askStage(
  pair: PairId,
  stage: StageCode | null,
  typed: string,
  note: RecordId | null,
): Prepared {
  const why = lineOf(typed);
  if (stage === null) return missing(actWords.chooseFirst);
  if (why === '') return missing(actWords.whyMissing);
  return acts({ kind: 'stage-asked', said: { pair, stages: [stage], note, why } });
}

export function releaseNote(pair: PairId, note: RecordId | null, typed: string): Prepared {
  const why = lineOf(typed);
  if (note === null) return missing(actWords.chooseFirst);
  return why === ''
    ? missing(actWords.whyMissing)
    : acts({ kind: 'note-released', said: { pair, note, why } });
}

export function reprint(pair: PairId, why: string | null): Prepared {
  return why === null
    ? missing(actWords.chooseFirst)
    : acts({ kind: 'ticket-reprinted', said: { pair, why: lineOf(why) } });
}

export function takeBack(pair: PairId, of: RecordId | null, typed: string): Prepared {
  const why = lineOf(typed);
  if (of === null) return missing(actWords.chooseFirst);
  return why === '' ? missing(actWords.whyMissing) : acts({ kind: 'voided', said: { pair, of, why } });
}

export interface JobChange {
  readonly added: readonly StageCode[];
  readonly dropped: readonly StageCode[];
  /** Done, and not to be done again by the change. */
  readonly kept: readonly StageCode[];
}

/** What another kind of job comes to for this pair; null where the site has no routes. */
export function jobChange(state: PairState, book: SiteBook, job: Job): JobChange | null {
  const { logged, details, asked } = state;
  const routes = logged === null ? null : routesOf(book, logged.route);
  if (routes === null || details === null) return null;
  const dropped = state.notNeeded.map(({ stage }) => stage);
  const always = (one: Job) =>
    routeOfJob(routes, one, asked, dropped).flatMap(({ stage, need }) => (need === 'always' ? [stage] : []));
  const [before, after] = [always(details.job), always(job)];
  const done = doneStages(state, book.ways);
  return {
    added: after.filter((stage) => !before.includes(stage) && !done.has(stage)),
    dropped: before.filter((stage) => !after.includes(stage) && !done.has(stage)),
    kept: routes.steps.map(({ stage }) => stage).filter((stage) => done.has(stage)),
  };
}

/** Stages that may be said to be not needed: on the route, not done, no final check, and not the one that closes the pair. */
export function spareable(state: PairState, book: SiteBook): readonly StageCode[] {
  const { logged, details } = state;
  const routes = logged === null ? null : routesOf(book, logged.route);
  if (routes === null || details === null) return [];
  const done = doneStages(state, book.ways);
  const dropped = state.notNeeded.map(({ stage }) => stage);
  return routeOfJob(routes, details.job, state.asked, dropped)
    .map(({ stage }) => stage)
    .filter((stage) => !done.has(stage) && stage !== book.closingStage)
    .filter((stage) => stage !== book.ways.owner && stage !== book.ways.check);
}

/** Stages that may be asked for: those of the site that the pair does not take always as it is. */
export function askable(state: PairState, book: SiteBook): readonly StageCode[] {
  const { logged, details } = state;
  const routes = logged === null ? null : routesOf(book, logged.route);
  if (routes === null || details === null) return [];
  const dropped = state.notNeeded.map(({ stage }) => stage);
  const taken = new Set(
    routeOfJob(routes, details.job, state.asked, dropped)
      .filter(({ need }) => need === 'always')
      .map(({ stage }) => stage),
  );
  const ofSite = new Set(book.stages.map(({ code }) => code));
  return routes.steps.map(({ stage }) => stage).filter((stage) => ofSite.has(stage) && !taken.has(stage));
}

export const isJob = (text: string): text is Job => JOBS.some((job) => job === text);
