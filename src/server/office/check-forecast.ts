/** Was the forecast right here? It is made again as of past days, from what was known then, and held against what came. */
import { shiftsBetween } from '../../domain/calendar/shifts-between.ts';
import { factsOf } from '../../domain/figures/facts-of.ts';
import { type BackTest, backTest, type Errors } from '../../domain/forecast/backtest.ts';
import { type Chronicle, knownAt } from '../../domain/forecast/known-then.ts';
import type { PairId } from '../../domain/ids.ts';
import { DAY_MS, HOUR_MS } from '../../domain/instant.ts';
import { allPlaced } from '../ledger/held.ts';
import type { Order } from './order.ts';
import { Refusal } from './refusal.ts';

/** As of so many past days, the last of them long enough ago that most of its pairs have left. */
const DAYS = 6;
const DAYS_APART = 3;
const DAYS_AGO = 14;
const RUNS = 300;
const HISTORY_DAYS = 90;
const AHEAD_DAYS = 120;
const PAIRS_AT_ONCE = 200;

export async function checkForecast({ ledger, site, book, now }: Order): Promise<string> {
  const chronicles = new Map<PairId, Chronicle>();
  const standing = await standingOf({ ledger, site });
  const since = now - HISTORY_DAYS * DAY_MS;
  const pairs = await ledger.pairsSince(site, since);
  for (let from = 0; from < pairs.length; from += PAIRS_AT_ONCE) {
    const some = await ledger.recordsOfPairs(site, pairs.slice(from, from + PAIRS_AT_ONCE), standing.head);
    for (const [pair, held] of some) {
      const placed = allPlaced(held, standing.epoch);
      const facts = factsOf(pair, placed, book);
      if (facts !== null) chronicles.set(pair, { facts, placed });
    }
  }
  const calendar = await ledger.calendar(site);
  const shifts = shiftsBetween(calendar, book.timeZone, since, now + AHEAD_DAYS * DAY_MS);
  const worked = shifts.filter(({ from }) => from < now - DAYS_AGO * DAY_MS);
  if (worked.length === 0) throw new Refusal('There are no shifts to look back on: see set-shift.');
  const instants = Array.from({ length: DAYS }, (_, day) => now - (DAYS_AGO + day * DAYS_APART) * DAY_MS)
    .map((at) => (worked.findLast(({ from }) => from < at) ?? worked[0])?.from ?? at)
    .map((from) => from + HOUR_MS);
  return report(
    backTest({
      site: { book, shifts },
      facts: [...chronicles.values()].map(({ facts }) => facts),
      instants,
      knownAt: (at) => knownAt(chronicles, book, at),
      until: now,
      asked: { seed: 1, runs: RUNS },
      howFar: {
        wholeFrom: Math.min(...[...chronicles.values()].flatMap(({ facts }) => facts.closed?.at ?? [])),
      },
    }),
  );
}

async function standingOf({ ledger, site }: Pick<Order, 'ledger' | 'site'>) {
  const [bench] = await ledger.benches(site);
  const standing = bench === undefined ? null : await ledger.standing(site, bench.bench);
  if (standing === null) throw new Refusal('No tablet has been set up here yet, so there are no records.');
  return standing;
}

function report({
  pairs,
  covered,
  says,
  widthDays,
  naive,
  naiveByJob,
  notYet,
  handedBack,
  ...errors
}: BackTest): string {
  if (pairs === 0)
    return 'No pair that was open on those days has left yet: there is nothing to hold the forecast against.';
  const left = `Not counted: ${notYet} not ready yet, ${handedBack} given back unfinished.`;
  return [
    `${pairs} forecasts of past days, held against the day on which the pair was ready:`,
    `  within their interval   ${percent(covered)}, where they say ${percent(says)}; intervals of ${days(widthDays)} on average`,
    `  the forecast            ${wrong({ pairs, ...errors })}`,
    `  usual lead time         ${wrong(naive)}`,
    `  usual lead time by job  ${wrong(naiveByJob)}`,
    left,
  ].join('\n');
}

function wrong({ meanAbsoluteDays, biasDays }: Errors): string {
  if (meanAbsoluteDays === null || biasDays === null) return 'nothing to judge';
  const side = biasDays > 0 ? 'too late' : 'too early';
  return `${days(meanAbsoluteDays)} off on average, in the mean ${days(Math.abs(biasDays))} ${side}`;
}

const days = (number: number | null) => (number === null ? '–' : `${number.toFixed(2)} days`);
const percent = (share: number | null) => (share === null ? '–' : `${Math.round(share * 100)} %`);
