/**
 * What goes wrong on a real floor, put into the simulated month on purpose, so that the demo shows each thing
 * that the desk can flag: scans undone, forgotten, made twice or without the other's knowledge.
 */
import { clockedOut } from '../src/domain/drafts.ts';
import type { Spell } from '../src/domain/fold/pair-state.ts';
import { asStageCode, type OperativeId, type PairId, type RecordId } from '../src/domain/ids.ts';
import { DAY_MS, HOUR_MS, type Instant, MINUTE_MS } from '../src/domain/instant.ts';
import { begunBy } from './begun.ts';
import { pairLogged } from './office.ts';
import type { PairOnLine } from './pairs.ts';
import type { Prng } from './prng.ts';
import { type ClockBack, pairIn, type Scribe, standsBack, type Tablet, type Written } from './tablets.ts';
import { CLOSING_STAGE } from './workshop.ts';

export const ODDITIES = [
  'unknown-ticket',
  'logged-twice',
  'scan-in-undone',
  'scan-out-undone',
  'scan-in-taken-back',
  'scanned-out-twice',
  'scanned-out-late',
  'note-taken-back',
  'worked-after-closing',
  'wrong-line-taken-back',
  'never-scanned-out',
] as const;
export type OddityKind = (typeof ODDITIES)[number];

export interface Oddity {
  /** `clock-back`: worked while the tablet's clock stood three hours back. */
  readonly is: OddityKind | 'clock-back';
  readonly pair: PairId;
}

const HOW_MANY: Readonly<Record<OddityKind, number>> = {
  'unknown-ticket': 2,
  'logged-twice': 1,
  'scan-in-undone': 6,
  'scan-out-undone': 4,
  'scan-in-taken-back': 1,
  'scanned-out-twice': 2,
  'scanned-out-late': 2,
  'note-taken-back': 1,
  'worked-after-closing': 1,
  'wrong-line-taken-back': 1,
  'never-scanned-out': 2,
};

/** Oddities lie in the last days, where the demo's user looks. */
const REACH_MS = 9 * DAY_MS;
const UNDONE = 'Undone at the bench';

export interface OdditySetup {
  readonly random: Prng;
  readonly scribe: Scribe;
  /** What has happened up to the end, by its true time; records may be taken out. */
  readonly happened: Written[];
  readonly pairs: readonly PairOnLine[];
  readonly back: ClockBack | null;
  readonly office: Tablet;
  readonly supervision: Tablet;
  readonly clerks: readonly OperativeId[];
  readonly supervisors: readonly OperativeId[];
  readonly issue: () => PairId;
  readonly endsAt: Instant;
}

/** A finished spell with both its scans, and what the hand and the pair did next. */
interface Finished {
  readonly pair: PairOnLine;
  readonly tablet: Tablet;
  readonly by: OperativeId;
  readonly in: Written & { readonly draft: { readonly id: Spell['id'] } };
  readonly out: Written;
  readonly spell: Spell;
  /** The hand's record before the scan in, and after the scan out. */
  readonly handBefore: Written | undefined;
  readonly handAfter: Written | undefined;
}

/** Writes the oddities through the scribe and says where each is. */
export function addOddities(setup: OdditySetup): readonly Oddity[] {
  const { random, happened, back } = setup;
  const spells = finishedSpells(setup);
  const byPair = recordsByPair(happened);
  const used = new Set<PairId>();
  const oddities: Oddity[] = [];
  for (const is of ODDITIES) {
    let missing = HOW_MANY[is];
    for (const spell of shuffled(spells, random)) {
      if (missing === 0) break;
      if (used.has(spell.pair.id)) continue;
      const pair = MAKERS[is](setup, spell, byPair);
      if (pair === null) continue;
      used.add(spell.pair.id).add(pair);
      oddities.push({ is, pair });
      missing -= 1;
    }
  }
  return [...oddities, ...clockBack(byPair, back)];
}

function clockBack(byPair: ByPair, back: ClockBack | null): readonly Oddity[] {
  return [...byPair].flatMap(([pair, records]) =>
    records.some((one) => standsBack(back, one)) ? [{ is: 'clock-back', pair }] : [],
  );
}

type ByPair = ReadonlyMap<PairId, readonly Written[]>;

/** Makes the oddity at this spell and returns the pair that shows it, or null where it does not fit. */
type Maker = (setup: OdditySetup, at: Finished, byPair: ByPair) => PairId | null;

const MAKERS: Readonly<Record<OddityKind, Maker>> = {
  'unknown-ticket': ({ scribe, issue }, at) => {
    if (at.tablet.key !== 'stripping' || idleMs(at) < 14 * MINUTE_MS) return null;
    const pair = issue();
    workBriefly(scribe, at, pair, at.spell.stage, true);
    return pair;
  },
  'logged-twice': ({ scribe, office, clerks, endsAt }, { pair }) => {
    if (pair.loggedAt < endsAt - REACH_MS || pair.loggedAt > endsAt - HOUR_MS) return null;
    scribe.write(office, clerks[0] ?? null, pair.loggedAt + 3 * MINUTE_MS, (making) =>
      pairLogged(making, pair),
    );
    return pair.id;
  },
  'scan-in-undone': (setup, at) => {
    const { scribe } = setup;
    const { tablet, by, pair, spell, in: scanIn, handBefore } = at;
    if (handBefore?.tablet !== tablet || scanIn.trueAt - handBefore.trueAt < 2 * MINUTE_MS) return null;
    if (scanIn.trueAt - handBefore.trueAt > HOUR_MS) return null;
    const said = { pair: pair.id, stage: spell.stage, shoe: spell.shoe, unknownPair: false };
    const scanned = scribe.say(tablet, by, scanIn.trueAt - 50_000, 'clocked-in', said);
    takeBack(setup, tablet, by, scanIn.trueAt - 38_000, pair.id, scanned.id, UNDONE);
    return pair.id;
  },
  'scan-out-undone': (setup, { tablet, by, pair, spell, out }) => {
    const { scribe } = setup;
    if (out.trueAt - spell.from < 12 * MINUTE_MS) return null;
    const undone = scribe.write(tablet, by, out.trueAt - 4 * MINUTE_MS, (making) =>
      clockedOut(making, pair.id, spell, 'done', CLOSING_STAGE),
    );
    takeBack(setup, tablet, by, out.trueAt - 4 * MINUTE_MS + 8000, pair.id, undone.id, UNDONE);
    return pair.id;
  },
  'scan-in-taken-back': (setup, { pair, spell, out }) => {
    if (out.trueAt - spell.from < 10 * MINUTE_MS) return null;
    supervisorTakesBack(setup, spell.from + 5 * MINUTE_MS, pair.id, spell.id, 'Thought to be a slip');
    return pair.id;
  },
  'scanned-out-twice': ({ scribe }, { pair, spell, out, tablet }, byPair) => {
    const next = nextScanIn(byPair, pair.id, out.trueAt);
    if (next === undefined || next.tablet === tablet || next.trueAt - out.trueAt > 5 * HOUR_MS) return null;
    scribe.write(next.tablet, next.draft.by, next.trueAt - 4000, (making) =>
      clockedOut(making, pair.id, spell, 'done', CLOSING_STAGE),
    );
    return pair.id;
  },
  'scanned-out-late': ({ scribe, happened }, { pair, spell, out, tablet, by }, byPair) => {
    const next = nextScanIn(byPair, pair.id, out.trueAt);
    if (next === undefined || next.tablet === tablet || next.trueAt - out.trueAt > 3 * HOUR_MS) return null;
    const lateAt = next.trueAt + 7 * MINUTE_MS;
    const stillThere = happened.some(
      (one) =>
        one.tablet === tablet &&
        one.draft.by === by &&
        one.trueAt > lateAt &&
        one.trueAt < lateAt + HOUR_MS &&
        one.draft.kind === 'clocked-in',
    );
    if (!stillThere) return null;
    takeOut(happened, out);
    scribe.write(tablet, by, lateAt, (making) => clockedOut(making, pair.id, spell, 'done', CLOSING_STAGE));
    return pair.id;
  },
  'note-taken-back': (setup, { pair, spell }, byPair) => {
    const seen = (byPair.get(pair.id) ?? []).find(
      ({ draft, trueAt }) => draft.kind === 'note-seen' && Math.abs(trueAt - spell.from) < MINUTE_MS,
    );
    if (seen?.draft.kind !== 'note-seen') return null;
    const { note } = seen.draft;
    supervisorTakesBack(setup, seen.trueAt - 20 * MINUTE_MS, pair.id, note, 'Looked at again, nothing there');
    return pair.id;
  },
  'worked-after-closing': ({ scribe, pairs }, at) => {
    if (at.tablet.key !== 'finishing' || idleMs(at) < 14 * MINUTE_MS) return null;
    const closed = pairs.find(
      ({ closedAt, route }) =>
        closedAt !== null &&
        closedAt < at.out.trueAt - HOUR_MS &&
        closedAt > at.out.trueAt - 3 * DAY_MS &&
        route.has(asStageCode('UCL')),
    );
    if (closed === undefined) return null;
    workBriefly(scribe, at, closed.id, asStageCode('UCL'), false);
    return closed.id;
  },
  'wrong-line-taken-back': (setup, { pair, spell, out }) => {
    const other = setup.pairs.find(({ id, closedAt }) => id !== pair.id && closedAt === null);
    if (other === undefined) return null;
    supervisorTakesBack(setup, out.trueAt + 30_000, other.id, spell.id, 'Wrong line taken back');
    return other.id;
  },
  'never-scanned-out': ({ endsAt, happened }, { pair, out }, byPair) => {
    if (byPair.get(pair.id)?.at(-1) !== out || pair.closedAt !== null) return null;
    if (out.trueAt > endsAt - 14 * HOUR_MS || out.trueAt < endsAt - 5 * DAY_MS) return null;
    takeOut(happened, out);
    return pair.id;
  },
};

function finishedSpells({ happened, pairs, endsAt, back }: OdditySetup): readonly Finished[] {
  const byId = new Map(pairs.map((pair) => [pair.id, pair]));
  const scansIn = new Map<string, Written>();
  const handsLast = new Map<OperativeId, Written>();
  const before = new Map<Written, Written | undefined>();
  const after = new Map<Written, Written>();
  for (const one of happened) {
    const { draft } = one;
    if (draft.kind === 'clocked-in') scansIn.set(draft.id, one);
    if (draft.by === null) continue;
    const last = handsLast.get(draft.by);
    before.set(one, last);
    if (last !== undefined) after.set(last, one);
    handsLast.set(draft.by, one);
  }
  return happened.flatMap((out) => {
    const { draft, trueAt, tablet } = out;
    if (draft.kind !== 'clocked-out' || draft.outcome !== 'done' || draft.closes) return [];
    if (trueAt < endsAt - REACH_MS || standsBack(back, out)) return [];
    const scanIn = scansIn.get(draft.of);
    const pair = byId.get(draft.pair);
    if (scanIn?.draft.kind !== 'clocked-in' || pair === undefined || scanIn.draft.by === null) return [];
    if (trueAt - scanIn.trueAt > 3 * HOUR_MS) return [];
    const { by } = scanIn.draft;
    const [handBefore, handAfter] = [before.get(scanIn), after.get(out)];
    const spell = begunBy(scanIn.draft, scanIn.trueAt);
    return [{ pair, tablet, by, in: scanIn, out, spell, handBefore, handAfter }];
  });
}

/** How long the hand stayed at the bench without a scan after this spell; 0 where it went away. */
function idleMs({ tablet, out, handAfter }: Finished): number {
  return handAfter?.tablet === tablet ? handAfter.trueAt - out.trueAt : 0;
}

function workBriefly(
  scribe: Scribe,
  { tablet, by, out }: Finished,
  pair: PairId,
  stage: Spell['stage'],
  unknownPair: boolean,
): void {
  const from = out.trueAt + MINUTE_MS;
  const draft = scribe.say(tablet, by, from, 'clocked-in', { pair, stage, shoe: 'both', unknownPair });
  scribe.write(tablet, by, from + 11 * MINUTE_MS, (making) =>
    clockedOut(making, pair, begunBy(draft, from), 'done', CLOSING_STAGE),
  );
}

function takeBack(
  { scribe }: OdditySetup,
  tablet: Tablet,
  by: OperativeId | null,
  at: Instant,
  pair: PairId,
  of: RecordId,
  why: string,
): void {
  scribe.say(tablet, by, at, 'voided', { pair, of, why });
}

function supervisorTakesBack(setup: OdditySetup, at: Instant, pair: PairId, of: RecordId, why: string): void {
  takeBack(setup, setup.supervision, setup.supervisors[0] ?? null, at, pair, of, why);
}

function recordsByPair(happened: readonly Written[]): ByPair {
  const byPair = new Map<PairId, Written[]>();
  for (const one of happened) {
    const pair = pairIn(one.draft);
    if (pair === null) continue;
    const own = byPair.get(pair);
    if (own === undefined) byPair.set(pair, [one]);
    else own.push(one);
  }
  return byPair;
}

function nextScanIn(byPair: ByPair, pair: PairId, after: Instant): Written | undefined {
  return byPair.get(pair)?.find(({ draft, trueAt }) => draft.kind === 'clocked-in' && trueAt > after);
}

function takeOut(happened: Written[], one: Written): void {
  happened.splice(happened.indexOf(one), 1);
}

function shuffled<Item>(items: readonly Item[], random: Prng): readonly Item[] {
  return items
    .map((item) => ({ item, at: random.next() }))
    .sort((a, b) => a.at - b.at)
    .map(({ item }) => item);
}
