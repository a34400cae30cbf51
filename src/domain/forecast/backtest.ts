/**
 * The forecast held against what came: made at past instants from what was known then, and compared with when the pairs
 * were ready. Beside it stand two rules of thumb on the same pairs: logged plus the usual lead time, of all pairs and of
 * those of the same job.
 */
import type { PairFacts } from '../figures/facts.ts';
import { median } from '../figures/percentile.ts';
import { DAY_MS, type Instant } from '../instant.ts';
import type { PairAhead } from './ahead.ts';
import { type Asked, type Forecast, forecast } from './forecast.ts';
import { type HowFar, historyOf, type Site } from './history.ts';
import type { Known } from './known-then.ts';

/** Errors in days of 24 hours, above 0 where the rule said later than it was; null where nothing could be judged. */
export interface Errors {
  readonly pairs: number;
  readonly biasDays: number | null;
  readonly meanAbsoluteDays: number | null;
}

export interface BackTest extends Errors {
  /** Of the pairs judged, the share that was ready within its interval; what the interval says it should be. */
  readonly covered: number | null;
  readonly says: number;
  /** The mean length of the intervals, in days. */
  readonly widthDays: number | null;
  readonly naive: Errors;
  readonly naiveByJob: Errors;
  /** Not judged: given back unfinished; not ready yet and still within the interval. */
  readonly handedBack: number;
  readonly notYet: number;
}

export interface Trial {
  readonly site: Site;
  /** All pairs, by what is known now. */
  readonly facts: readonly PairFacts[];
  readonly instants: readonly Instant[];
  readonly knownAt: (at: Instant) => Known;
  /** What is known now ends here. */
  readonly until: Instant;
  readonly asked: Asked;
  readonly howFar?: HowFar;
}

interface Judged {
  readonly error: number | null;
  readonly inside: boolean;
  readonly width: number | null;
  readonly naive: number | null;
  readonly naiveByJob: number | null;
}

export function backTest(trial: Trial): BackTest {
  const truth = new Map(trial.facts.map((pair) => [pair.pair, pair]));
  const judged: Judged[] = [];
  const out = { handedBack: 0, notYet: 0 };
  for (const at of trial.instants) {
    const { facts, ahead } = trial.knownAt(at);
    const history = historyOf(facts, trial.site, at, trial.howFar);
    const leads = leadsOf(facts);
    const made = forecast(trial.site, history, ahead, trial.asked);
    for (const [index, one] of made.entries()) {
      const pair = ahead[index];
      const came = truth.get(one.pair);
      if (pair === undefined || came === undefined) continue;
      const verdict = judge({ one, pair, came, at, leads, until: trial.until });
      if (typeof verdict === 'string') out[verdict] += 1;
      else judged.push(verdict);
    }
  }
  return { ...summed(judged, trial.asked), ...out };
}

interface Case {
  readonly one: Forecast;
  readonly pair: PairAhead;
  readonly came: PairFacts;
  readonly at: Instant;
  readonly leads: Leads;
  readonly until: Instant;
}

/** A pair that is still here after the end of its interval was missed, though nobody knows yet by how much. */
function judge({ one, pair, came, at, leads, until }: Case): Judged | 'handedBack' | 'notYet' {
  const { ready, early, late } = one;
  const left = firstLeavingAfter(came, at);
  if (left?.unfinished === true || pair.stopped) return 'handedBack';
  const width = early === null || late === null ? null : (late.at - early.at) / DAY_MS;
  if (left === null) {
    if (late === null || late.at >= until) return 'notYet';
    return { error: null, inside: false, width, naive: null, naiveByJob: null };
  }
  const off = (said: Instant | null) => (said === null ? null : (said - left.at) / DAY_MS);
  const rule = (lead: number | null) => (lead === null ? null : Math.max(at, pair.loggedAt + lead));
  return {
    error: off(ready?.at ?? null),
    inside: (early === null || early.at <= left.at) && (late === null || left.at <= late.at),
    width,
    naive: off(rule(leads.all)),
    naiveByJob: off(rule(leads.byJob.get(pair.job) ?? leads.all)),
  };
}

/** A pair may come back after it had left: what was forecast was the first leaving. */
function firstLeavingAfter({ stays }: PairFacts, at: Instant): { at: Instant; unfinished: boolean } | null {
  for (const { to, unfinished } of stays) if (to !== null && to.at > at) return { at: to.at, unfinished };
  return null;
}

interface Leads {
  readonly all: number | null;
  readonly byJob: ReadonlyMap<string | null, number>;
}

function leadsOf(facts: readonly PairFacts[]): Leads {
  const leads = facts.flatMap(({ job, logged, closed, handedBack }) =>
    logged === null || closed === null || handedBack ? [] : [{ job, ms: closed.at - logged.at }],
  );
  const middle = (some: typeof leads) => median(some.map(({ ms }) => ms));
  const jobs = [...new Set(leads.map(({ job }) => job))];
  return {
    all: middle(leads),
    byJob: new Map(jobs.map((job) => [job, middle(leads.filter((lead) => lead.job === job)) ?? 0])),
  };
}

function summed(
  judged: readonly Judged[],
  { interval = [0.1, 0.9] }: Asked,
): Omit<BackTest, 'handedBack' | 'notYet'> {
  return {
    ...errorsOf(judged.map(({ error }) => error)),
    covered: mean(judged.map(({ inside }) => (inside ? 1 : 0))),
    says: interval[1] - interval[0],
    widthDays: mean(judged.flatMap(({ width }) => (width === null ? [] : [width]))),
    naive: errorsOf(judged.map(({ naive }) => naive)),
    naiveByJob: errorsOf(judged.map(({ naiveByJob }) => naiveByJob)),
  };
}

function errorsOf(errors: readonly (number | null)[]): Errors {
  const known = errors.flatMap((error) => (error === null ? [] : [error]));
  return { pairs: known.length, biasDays: median(known), meanAbsoluteDays: mean(known.map(Math.abs)) };
}

function mean(values: readonly number[]): number | null {
  return values.length === 0 ? null : values.reduce((sum, one) => sum + one, 0) / values.length;
}
