/** A plan from a seed. Each seed has faults of its own: of all kinds a handful, at rates of their own. */
import { Chance } from './chance.ts';
import { type Deed, type Mishap, type Plan, TAPS, WEATHERS } from './plan.ts';
import { BENCHES_MAX, PAIRS_MAX } from './template.ts';

const MINUTE_MS = 60_000;
const HOUR_MS = 60 * MINUTE_MS;
const DAY_MS = 24 * HOUR_MS;

/** How long the trouble lasts and how often a settled tablet asks: the longer, the more seldom. */
const PACES = [
  { lastsMs: 4 * MINUTE_MS, restMs: 30_000 },
  { lastsMs: 9 * MINUTE_MS, restMs: 90_000 },
  { lastsMs: 10 * HOUR_MS, restMs: 30 * MINUTE_MS },
  { lastsMs: 8 * DAY_MS, restMs: 10 * HOUR_MS },
] as const;

/** Weeks: a shoe works makes 50,000 records at one bench in no less. */
const BACKLOG_LASTS_MS = 21 * DAY_MS;
/** A tablet that gets no answer asks again within minutes, and each time costs the simulator as much as a record. */
const WEATHER_MS_MAX = 90 * MINUTE_MS;

const TROUBLES = ['full', 'stuck', 'stuck', 'lost-connection', 'no-storage'] as const;
const KINDS = [
  'tablet-killed',
  'store-fails',
  'tablet-set-back',
  'tablet-doubled',
  'clock',
  'server-killed',
  'server-restored',
  'revoked',
  'bad-record',
  'other-build',
] as const;

export function drawPlan(seed: number): Plan {
  const chance = new Chance(`plan ${seed}`);
  const pace = chance.of(PACES);
  const benches = Math.min(chance.of([1, 2, 2, 3, 3, 4]), BENCHES_MAX);
  const outline = { benches, pairs: chance.whole(1, PAIRS_MAX), lastsMs: pace.lastsMs };
  return {
    seed,
    benches,
    processes: chance.whole(1, 3),
    pairs: outline.pairs,
    healAt: pace.lastsMs,
    restMs: pace.restMs,
    storeMs: chance.happens(0.4) ? chance.whole(1, 400) : 0,
    serverStoreMs: chance.happens(0.4) ? chance.whole(1, 300) : 0,
    packed: chance.happens(0.1),
    live: chance.happens(0.4),
    backlog: 0,
    deeds: drawDeeds(chance, outline),
    mishaps: drawMishaps(chance, outline),
  };
}

/** Bench 0 works on without a network, makes so many records, and then the seed's own troubles begin with the way back. */
export function drawLongPlan(seed: number, backlog: number): Plan {
  const plan = drawPlan(seed);
  const wayBackAt = BACKLOG_LASTS_MS;
  const later = <Timed extends { readonly at: number }>(one: Timed): Timed => ({
    ...one,
    at: one.at + wayBackAt,
    ...('until' in one ? { until: Number(one.until) + wayBackAt } : {}),
    ...('copyAt' in one ? { copyAt: Number(one.copyAt) + wayBackAt } : {}),
    ...('backupAt' in one ? { backupAt: Number(one.backupAt) + wayBackAt } : {}),
  });
  const offLine: Mishap = { is: 'road', at: 0, until: wayBackAt, bench: 0, weather: 'off-line', share: 1 };
  return {
    ...plan,
    backlog,
    storeMs: 0,
    healAt: plan.healAt + wayBackAt,
    restMs: 10 * HOUR_MS,
    deeds: plan.deeds.map(later),
    mishaps: [offLine, ...plan.mishaps.map(later)],
  };
}

interface Outline {
  readonly benches: number;
  readonly pairs: number;
  readonly lastsMs: number;
}

function drawDeeds(chance: Chance, { benches, pairs, lastsMs }: Outline): readonly Deed[] {
  const deeds = Array.from({ length: chance.whole(5, 30) }, (): Deed => {
    const does = chance.of([
      'scan',
      'scan',
      'scan',
      'scan',
      'scan-twice',
      'scan-and-pass-on',
      'badge',
      chance.of(TAPS),
      chance.of(TAPS),
      chance.happens(0.1) ? 'wait-an-hour' : 'scan',
    ] as const);
    return {
      at: chance.whole(500, lastsMs),
      bench: chance.whole(0, benches - 1),
      device: chance.happens(0.3) ? 1 : 0,
      hand: chance.whole(0, 2),
      pair: chance.whole(0, pairs - 1),
      does,
    };
  });
  return deeds.sort((a, b) => a.at - b.at);
}

function drawMishaps(chance: Chance, { benches, lastsMs }: Outline): readonly Mishap[] {
  const weathers = WEATHERS.filter(() => chance.happens(0.35));
  const kinds = KINDS.filter(() => chance.happens(0.3));
  const mishaps: Mishap[] = [];
  const bench = () => chance.whole(0, benches - 1);
  for (const weather of weathers) {
    for (let left = chance.whole(1, 3); left > 0; left -= 1) {
      const at = chance.whole(0, lastsMs);
      const until = Math.min(lastsMs, at + chance.whole(0, Math.min(lastsMs, WEATHER_MS_MAX)));
      const share = weather === 'off-line' ? 1 : chance.of([0.1, 0.3, 0.6, 1]);
      mishaps.push({ is: 'road', at, until, bench: bench(), weather, share });
    }
  }
  for (const kind of kinds) {
    const times = kind === 'tablet-killed' || kind === 'server-killed' || kind === 'clock' ? 3 : 1;
    for (let left = chance.whole(1, times); left > 0; left -= 1)
      mishaps.push(drawMishap(chance, kind, bench(), lastsMs));
  }
  return mishaps.sort((a, b) => a.at - b.at);
}

function drawMishap(chance: Chance, is: (typeof KINDS)[number], bench: number, lastsMs: number): Mishap {
  const at = chance.whole(1_000, lastsMs);
  switch (is) {
    case 'tablet-killed':
      return { is, at, bench, calls: chance.whole(1, 40), when: chance.of(['before', 'after']) };
    case 'store-fails': {
      const until = Math.min(lastsMs, at + chance.whole(0, lastsMs / 2));
      return { is, at, until, bench, trouble: chance.of(TROUBLES), share: chance.of([0.05, 0.3, 1]) };
    }
    case 'tablet-set-back':
      return { is, at, bench, copyAt: chance.whole(0, at) };
    case 'tablet-doubled':
      return { is, at, bench };
    case 'clock': {
      const stepMs =
        chance.of([-1, 1]) * chance.of([10_000, 10 * MINUTE_MS, HOUR_MS, 3 * DAY_MS, 40 * DAY_MS]);
      return { is, at, bench, stepMs, driftPpm: chance.of([0, 200, -5_000, 100_000]) };
    }
    case 'server-killed':
      return { is, at, process: chance.whole(0, 2), statements: chance.whole(1, 25) };
    case 'server-restored':
      return { is, at, backupAt: chance.whole(0, at) };
    case 'revoked':
      return { is, at, bench };
    case 'bad-record':
      return { is, at, bench };
    case 'other-build':
      return { is, at, bench, writes: chance.of(['newer-field', 'newer-kind', 'older-fields']) };
  }
}
