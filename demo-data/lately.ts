/**
 * What stands open at the demo's present, put there on purpose so that it is there whenever the demo is made: a pair
 * whose owner is asked again after the strip-down, shoes that travel apart, pairs on racks, two amendments made apart,
 * a machine that nobody may run.
 */
import { asStageCode, type OperativeId, type PairId, type StageCode } from '../src/domain/ids.ts';
import { type Instant, MINUTE_MS } from '../src/domain/instant.ts';
import { needOf } from '../src/domain/site-routes.ts';
import { UNDER_THE_INSOLE, UNDER_THE_SOLE } from './findings.ts';
import { type PairOnLine, takeStages } from './pairs.ts';
import type { Prng } from './prng.ts';
import type { WorkingDay } from './shifts.ts';
import { SECOND_MS } from './shop.ts';
import { pairIn, type Scribe, type Tablet, type Written } from './tablets.ts';
import { INSOLE, OWNERS_YES, ROUTES, STRIPPING } from './workshop.ts';

export const LATELY = ['asked-again', 'amended-apart', 'parted', 'racked', 'found'] as const;
export type LatelyKind = (typeof LATELY)[number];

const HOW_MANY: Readonly<Record<LatelyKind, number>> = {
  'asked-again': 1,
  'amended-apart': 1,
  parted: 2,
  racked: 5,
  found: 2,
};

const SCOURING = asStageCode('SC1');
const WELTING = asStageCode('WLT');
const LASTING = asStageCode('LAS');
const LAYING = asStageCode('LAY');

export interface LatelySetup {
  readonly random: Prng;
  readonly scribe: Scribe;
  /** What has happened up to the end, oddities and all. */
  readonly happened: readonly Written[];
  readonly pairs: readonly PairOnLine[];
  /** Pairs that show something else already. */
  readonly used: ReadonlySet<PairId>;
  readonly benches: readonly Tablet[];
  readonly office: Tablet;
  readonly supervision: Tablet;
  readonly clerks: readonly OperativeId[];
  readonly supervisors: readonly OperativeId[];
  readonly racks: readonly string[];
  readonly days: readonly WorkingDay[];
  readonly endsAt: Instant;
}

/** A pair that waits, and the last that was recorded of it. */
interface Idle {
  readonly pair: PairOnLine;
  readonly own: readonly Written[];
  readonly last: Written;
}

/** Writes all of it through the scribe and says which pairs show what. */
export function addLately(setup: LatelySetup): readonly { readonly is: LatelyKind; readonly pair: PairId }[] {
  stopMachines(setup);
  let idle = idlePairs(setup);
  return LATELY.flatMap((is) => {
    const shown: PairOnLine[] = [];
    for (const one of idle) {
      if (shown.length === HOW_MANY[is]) break;
      if (MAKERS[is](setup, one)) shown.push(one.pair);
    }
    idle = idle.filter(({ pair }) => !shown.includes(pair));
    return shown.map(({ id }) => ({ is, pair: id }));
  });
}

/** Makes it, or says that this pair does not fit. */
const MAKERS: Readonly<Record<LatelyKind, (setup: LatelySetup, idle: Idle) => boolean>> = {
  'asked-again': (setup, { pair, own, last }) => {
    const { scribe, supervision, supervisors } = setup;
    const begun = (stage: StageCode) =>
      own.some(({ draft }) => draft.kind === 'clocked-in' && draft.stage === stage);
    if (!begun(STRIPPING) || begun(LASTING) || begun(LAYING) || needOf(ROUTES, pair.job, INSOLE) === 'never')
      return false;
    const finding = begun(INSOLE) ? UNDER_THE_INSOLE : UNDER_THE_SOLE;
    const onThen = atTheInsole(setup, last.trueAt + 3 * MINUTE_MS);
    if (onThen === null) return false;
    const { at, by, tablet } = onThen;
    const { text, defect, zone, seeAt, weight, cureAt } = finding;
    const isNew = cureAt !== null && !pair.route.has(cureAt);
    if (isNew) takeStages(pair, [...pair.route.keys(), INSOLE]);
    const note = scribe.say(tablet, by, at, 'noted', {
      pair: pair.id,
      shoe: zone === null ? 'both' : 'right',
      zone,
      side: zone === null ? null : 'outside',
      defect,
      weight,
      text,
      seeAt: seeAt.filter((stage) => pair.route.has(stage)),
      cureAt: cureAt === null ? [] : [cureAt],
    });
    if (isNew) {
      const ask = { pair: pair.id, stages: [INSOLE], note: note.id, why: text };
      scribe.say(tablet, by, at + SECOND_MS, 'stage-asked', ask);
    }
    scribe.say(tablet, by, at + 10 * SECOND_MS, 'set-aside', { pair: pair.id, stage: INSOLE, reason: text });
    const why = `${text}: more than was agreed on`;
    // A supervisor rings the owner, also when the office is closed.
    const asked = { pair: pair.id, note: note.id, why };
    scribe.say(supervision, supervisors[0] ?? null, at + 4 * MINUTE_MS, 'owner-asked', asked);
    return true;
  },
  'amended-apart': ({ scribe, office, supervision, clerks, supervisors, endsAt }, { pair, own, last }) => {
    const logged = own.find(({ draft }) => draft.kind === 'pair-logged');
    const amended = own.some(({ draft }) => draft.kind === 'pair-amended');
    const at = last.trueAt + 2 * MINUTE_MS;
    if (logged === undefined || amended || at + 9 * MINUTE_MS > endsAt) return false;
    const after = logged.draft.id;
    const [first, second] = [{ asked: 'Rubber top pieces' }, { asked: 'Leather top pieces' }];
    const say = (tablet: Tablet, by: OperativeId | null, saidAt: Instant, changes: { asked: string }) =>
      scribe.say(tablet, by, saidAt, 'pair-amended', { pair: pair.id, after, changes, why: 'Owner rang' });
    say(office, clerks[0] ?? null, at, first);
    say(supervision, supervisors[0] ?? null, at + 7 * MINUTE_MS, second);
    return true;
  },
  parted: ({ scribe, random }, { pair, last: { tablet, draft, trueAt } }) => {
    const said = {
      pair: pair.id,
      shoe: random.pick(['left', 'right'] as const),
      why: 'One waits for a patch',
    };
    scribe.say(tablet, draft.by, trueAt + 20 * SECOND_MS, 'parted', said);
    return true;
  },
  racked: ({ scribe, random, racks }, { pair, last: { tablet, draft, trueAt } }) => {
    if (pair.rack !== null) return false;
    const said = { pair: pair.id, rack: random.pick(racks) };
    scribe.say(tablet, draft.by, trueAt + 20 * SECOND_MS, 'racked', said);
    return true;
  },
  found: ({ scribe }, { pair, last: { tablet, draft, trueAt } }) => {
    scribe.say(tablet, draft.by, trueAt + 50 * SECOND_MS, 'found-here', { pair: pair.id });
    return true;
  },
};

/** Open pairs that only wait: not held, not asked about, not on any bench, and with nothing else to show. */
function idlePairs({ happened, pairs, used, endsAt, random }: LatelySetup): readonly Idle[] {
  const byPair = new Map<PairId, Written[]>();
  for (const one of [...happened].sort((a, b) => a.trueAt - b.trueAt)) {
    const pair = pairIn(one.draft);
    if (pair === null) continue;
    const own = byPair.get(pair);
    if (own === undefined) byPair.set(pair, [one]);
    else own.push(one);
  }
  return pairs
    .filter(
      ({ id, closedAt, busyUntil, heldUntil, setAside, parted, timesSentBack, unscanned, route, done }) =>
        closedAt === null &&
        !used.has(id) &&
        Math.max(busyUntil, heldUntil) <= endsAt &&
        !setAside &&
        parted === null &&
        timesSentBack === 0 &&
        unscanned.size === 0 &&
        (done.has(OWNERS_YES) || !route.has(OWNERS_YES)),
    )
    .flatMap((pair) => {
      const own = byPair.get(pair.id) ?? [];
      const last = own.at(-1);
      if (last === undefined || !isAtRest(last)) return [];
      return last.trueAt + MINUTE_MS > endsAt ? [] : [{ idle: { pair, own, last }, at: random.next() }];
    })
    .sort((a, b) => a.at - b.at)
    .map(({ idle }) => idle);
}

function isAtRest({ draft }: Written): boolean {
  return draft.kind === 'racked' || (draft.kind === 'clocked-out' && draft.outcome === 'done');
}

/** Whoever is on at the insole bench from `from` on, with time to look at a pair between two others. */
function atTheInsole({ happened, endsAt }: LatelySetup, from: Instant) {
  const there = happened.filter(({ tablet, draft }) => tablet.stages.includes(INSOLE) && draft.by !== null);
  const index = there.findLastIndex(
    ({ draft, trueAt }) => draft.kind !== 'badged-off' && trueAt <= endsAt - 6 * MINUTE_MS,
  );
  const act = there[index];
  if (act === undefined) return null;
  const at = Math.max(from, act.trueAt + 20 * SECOND_MS);
  const next = there[index + 1];
  const gone = next?.draft.kind === 'badged-off' && next.trueAt <= at;
  return gone || at > endsAt - 5 * MINUTE_MS ? null : { at, by: act.draft.by, tablet: act.tablet };
}

/** One machine was out of use overnight and is back; another may not be run now. */
function stopMachines({
  scribe,
  happened,
  benches,
  supervision,
  supervisors,
  days,
  endsAt,
}: LatelySetup): void {
  const tabletOf = (stage: StageCode) => benches.find(({ stages }) => stages.includes(stage));
  const today = days.findLastIndex(({ early }) => early.from <= endsAt);
  const [before, now] = [days[today - 1], days[today]];
  const welting = tabletOf(WELTING);
  if (before !== undefined && now !== undefined && welting !== undefined) {
    const machine = { where: welting.bench, stage: WELTING };
    const [early, late] = [supervisors[0] ?? null, supervisors[1] ?? null];
    const stopped = { ...machine, why: 'Needle guide worn' };
    scribe.say(supervision, late, before.late.to + 2 * MINUTE_MS, 'machine-stopped', stopped);
    const back = { ...machine, why: 'New guide in, tried on a scrap' };
    scribe.say(supervision, early, now.early.from - 5 * MINUTE_MS, 'machine-back', back);
  }
  const scouring = tabletOf(SCOURING);
  const last = happened.findLast(({ tablet, draft }) => tablet === scouring && draft.by !== null);
  if (scouring === undefined || last === undefined) return;
  const stopped = { where: scouring.bench, stage: SCOURING, why: 'Dust extraction down' };
  scribe.say(scouring, last.draft.by, Math.min(last.trueAt + MINUTE_MS, endsAt), 'machine-stopped', stopped);
}
