/** What happens while a hand works: finished, not finished, sent back, set aside, or the scan out forgotten. */

import { stageByCode } from '../src/domain/catalogue/stages.ts';
import { clockedOut } from '../src/domain/drafts.ts';
import type { Spell } from '../src/domain/fold/pair-state.ts';
import { asStageCode, type StageCode } from '../src/domain/ids.ts';
import { HOUR_MS, type Instant, MINUTE_MS } from '../src/domain/instant.ts';
import { begunBy } from './begun.ts';
import { FAULTS_HERE, type FaultHere, isSeenAt, SET_ASIDE_REASONS, UNDER_THE_SOLE } from './findings.ts';
import { type Act, inspect, noteOn, seeNotes } from './notes.ts';
import { askAgain } from './owner.ts';
import { type NoteOnPair, type PairOnLine, takeStages } from './pairs.ts';
import { workedMinutes, workedUntil } from './shifts.ts';
import { SECOND_MS, type Shop, type Turn } from './shop.ts';
import { clockIn, showReminders, takeInHand } from './way-in.ts';
import { finish, type OpenSpell, standToDry } from './way-out.ts';
import { CLEANING, CLOSING_STAGE, INSOLE, INSPECTION, minutesAt, STRIPPING, WAYS } from './workshop.ts';

const FINDING_THE_LAST = asStageCode('FND');
/** On a rack, what is got ready once serves all. */
const RACK_SHARE = 0.75;
const TIMES_SENT_BACK_MAX = 2;
/** Of the spells that end when the hand goes home. */
const SHARE_FORGOTTEN = 0.05;
/** At these the scan out is never forgotten: it asks something. */
const NEVER_FORGOTTEN: readonly (StageCode | null)[] = [INSPECTION, WAYS.check, WAYS.box, WAYS.lastTo];
/** Short work, now and then done without any scan. */
const UNSCANNED_STAGES = ['FND', 'BEA', 'SHK', 'WAX', 'DET'].map(asStageCode);
const SHARE_UNSCANNED = 0.008;
/** Of the pairs stripped down: more is found than was agreed on. */
const SHARE_FOUND_BELOW = 0.012;
/** Of the single shoes that go back: it travels alone. */
const SHARE_PARTED = 0.35;
/** Of the inspected pairs: a supervisor says that cleaning is not needed. */
const SHARE_CLEAN = 0.04;

/** A spell whose scan out was forgotten when the shift ended. */
export type Forgotten = OpenSpell;

export interface Worked {
  readonly freeAt: Instant;
  readonly forgotten: Forgotten | null;
}

export function work(shop: Shop, turn: Turn): Worked {
  const { pairs, stage, hand, shift } = turn;
  const unscanned = workUnscanned(shop, turn);
  if (unscanned !== null) return unscanned;
  const spells = beginAll(shop, turn);
  const from = spells.at(-1)?.spell.from ?? turn.at;
  const minutes = pairs.reduce((sum, pair) => sum + minutesLeft(shop, pair, stage) * hand.pace, 0);
  const [only] = spells;
  if (spells.length === 1 && only !== undefined) return workOne(shop, turn, only, minutes);
  const ends = Math.min(workedUntil(shift, from, minutes * RACK_SHARE), shift.to - MINUTE_MS);
  return { freeAt: finishAll(shop, turn, spells, ends), forgotten: null };
}

interface Begun {
  readonly pair: PairOnLine;
  readonly spell: Spell;
}

function beginAll(shop: Shop, turn: Turn): readonly Begun[] {
  let at = showReminders(shop, turn, turn.at);
  return turn.pairs.map((pair) => {
    at += shop.random.int(3, 12) * SECOND_MS;
    const begun = begin(shop, turn, pair, at);
    at = begun.spell.from;
    return begun;
  });
}

function begin(shop: Shop, turn: Turn, pair: PairOnLine, at: Instant): Begun {
  const inHandAt = takeInHand(shop, turn, pair, at);
  const from = seeNotes(actOf(shop, turn), pair, turn.stage, inHandAt + SECOND_MS) + SECOND_MS;
  return { pair, spell: begunBy(clockIn(shop, turn, pair, from), from) };
}

/** Done, and nobody scanned: the next bench will tell of it. */
function workUnscanned(shop: Shop, { pairs, stage, hand, shift, at }: Turn): Worked | null {
  const [pair] = pairs;
  if (pair === undefined || !UNSCANNED_STAGES.includes(stage) || !shop.random.chance(SHARE_UNSCANNED))
    return null;
  const plain = !pair.setAside && pair.parted === null && pair.rack === null && pair.unscanned.size === 0;
  const noted = pair.notes.some(({ finding, cured }) => !cured && isSeenAt(finding, stage));
  const ends = workedUntil(shift, at, minutesLeft(shop, pair, stage) * hand.pace);
  if (!plain || noted || ends > shift.to - MINUTE_MS) return null;
  pair.unscanned.add(stage);
  markDone(shop, pair, stage, ends);
  return { freeAt: ends, forgotten: null };
}

function minutesLeft({ random }: Shop, pair: PairOnLine, stage: StageCode): number {
  return pair.rest.get(stage) ?? random.around(...minutesAt(stage, pair.job));
}

function workOne(shop: Shop, turn: Turn, begun: Begun, minutes: number): Worked {
  const { random } = shop;
  const { shift, stage, tablet } = turn;
  const { pair, spell } = begun;
  const ends = workedUntil(shift, spell.from, minutes);
  const partWay = workedUntil(shift, spell.from, minutes * 0.4);
  const fault = faultFound(shop, pair, stage);
  if (partWay < shift.to - 2 * MINUTE_MS) {
    if (fault !== null) return { freeAt: sendBack(shop, turn, begun, fault, partWay), forgotten: null };
    if (random.chance(stage === FINDING_THE_LAST ? 0.1 : 0.008))
      return { freeAt: putAside(shop, turn, begun, minutes, partWay), forgotten: null };
  }
  if (ends > shift.to - MINUTE_MS) return stopForToday(shop, turn, begun, minutes);
  const mayForget = pair.parted === null && !NEVER_FORGOTTEN.includes(stage);
  if (ends > shift.to - 40 * MINUTE_MS && mayForget && random.chance(SHARE_FORGOTTEN)) {
    // Nobody touches it until it is scanned out.
    pair.busyUntil = Number.POSITIVE_INFINITY;
    return { freeAt: ends, forgotten: { pair, spell, tablet } };
  }
  const halting =
    stage === INSPECTION ? inspect(actOf(shop, turn), pair, stage, spell.from + MINUTE_MS) : null;
  const freeAt = finishAll(shop, turn, [begun], Math.max(ends, spell.from + 4 * MINUTE_MS));
  if (stage === INSPECTION) leaveOutCleaning(shop, pair, freeAt);
  const below = stage === STRIPPING ? findBelow(shop, turn, pair, freeAt) : null;
  const stopped = halting ?? below;
  if (stopped !== null) halt(shop, turn, pair, stopped, freeAt + 30 * SECOND_MS);
  return { freeAt, forgotten: null };
}

/** Under the sole a loose rib: the stage that mends it is asked for where the job would not take it. */
function findBelow(shop: Shop, turn: Turn, pair: PairOnLine, at: Instant): NoteOnPair | null {
  if (pair.done.has(INSOLE) || !shop.random.chance(SHARE_FOUND_BELOW)) return null;
  const isNew = !pair.route.has(INSOLE);
  if (isNew) takeStages(pair, [...pair.route.keys(), INSOLE]);
  const note = noteOn(actOf(shop, turn), pair, turn.stage, UNDER_THE_SOLE, at + 15 * SECOND_MS);
  if (note !== null && isNew) {
    shop.scribe.say(turn.tablet, turn.hand.id, at + 16 * SECOND_MS, 'stage-asked', {
      pair: pair.id,
      stages: [INSOLE],
      note: note.id,
      why: note.finding.text,
    });
  }
  return note;
}

function leaveOutCleaning({ random, scribe, desk, supervisors }: Shop, pair: PairOnLine, at: Instant): void {
  const taken = pair.route.has(CLEANING) && !pair.optional.includes(CLEANING);
  const begun = pair.done.has(CLEANING) || pair.rest.has(CLEANING) || pair.setAside;
  if (!taken || begun || !random.chance(SHARE_CLEAN)) return;
  takeStages(
    pair,
    [...pair.route.keys()].filter((stage) => stage !== CLEANING),
  );
  const why = 'Came in clean and dry';
  scribe.say(desk, random.pick(supervisors), at + MINUTE_MS, 'not-needed', {
    pair: pair.id,
    stage: CLEANING,
    why,
  });
  pair.busyUntil = Math.max(pair.busyUntil, at + 2 * MINUTE_MS);
}

function actOf({ scribe, random }: Shop, { tablet, hand }: Turn): Act {
  return { scribe, random, tablet, by: hand.id };
}

/** One scan out each, some seconds apart. Returns when the last is made. */
function finishAll(shop: Shop, turn: Turn, spells: readonly Begun[], at: Instant): Instant {
  let outAt = at;
  for (const { pair, spell } of spells) {
    finish(shop, turn, { pair, spell, tablet: turn.tablet }, outAt);
    markDone(shop, pair, turn.stage, outAt);
    standToDry(shop, turn, pair, turn.stage, outAt);
    outAt += shop.random.int(2, 6) * SECOND_MS;
  }
  return outAt;
}

/** The stage is done; what is due next begins to wait. */
export function markDone({ queues, random }: Shop, pair: PairOnLine, stage: StageCode, at: Instant): void {
  const settle = stageByCode(stage)?.settleMinutes ?? null;
  // Most waits are short; the long end is for soaked leather and restuck ribs.
  const minutes = settle === null ? 0 : settle.least + (settle.most - settle.least) * random.next() ** 2;
  pair.done.set(stage, { at, settledAt: at + minutes * MINUTE_MS });
  pair.rest.delete(stage);
  pair.busyUntil = at;
  if (stage === CLOSING_STAGE) pair.closedAt = at;
  queues.admit(pair);
}

function leaveUnfinished(
  { scribe }: Shop,
  { tablet, hand }: Turn,
  { pair, spell }: Begun,
  at: Instant,
): void {
  scribe.write(tablet, hand.id, at, (making) =>
    clockedOut(making, pair.id, spell, 'not-finished', CLOSING_STAGE),
  );
  pair.busyUntil = at + MINUTE_MS;
}

function stopForToday(shop: Shop, turn: Turn, begun: Begun, minutes: number): Worked {
  const { pair, spell } = begun;
  const at = Math.max(turn.shift.to - shop.random.int(60, 150) * SECOND_MS, spell.from + 20 * SECOND_MS);
  leaveUnfinished(shop, turn, begun, at);
  pair.rest.set(turn.stage, Math.max(2, minutes - workedMinutes(turn.shift, spell.from, at)));
  shop.queues.putBack(pair, turn.stage, spell.from);
  return { freeAt: at, forgotten: null };
}

function faultFound({ random }: Shop, pair: PairOnLine, stage: StageCode): FaultHere | null {
  if (pair.timesSentBack >= TIMES_SENT_BACK_MAX) return null;
  const faults = FAULTS_HERE.filter(({ foundAt, backTo }) => foundAt === stage && pair.route.has(backTo));
  return faults.find(({ share }) => random.chance(share)) ?? null;
}

function sendBack(shop: Shop, turn: Turn, begun: Begun, fault: FaultHere, at: Instant): Instant {
  const { pair } = begun;
  const { backTo: to, reason } = fault;
  const inColour = (stage: StageCode) => WAYS.colour.includes(stage);
  const shoe =
    fault.bothShoes || inColour(to) ? ('both' as const) : shop.random.pick(['left', 'right'] as const);
  leaveUnfinished(shop, turn, begun, at);
  const again = fault.again
    .filter((stage) => stage !== to && pair.done.has(stage))
    .map((stage) => ({ stage, shoe: inColour(stage) ? ('both' as const) : shoe }));
  const say = { pair: pair.id, from: turn.stage, to, shoe, reason, again, fault: fault.id };
  shop.scribe.say(turn.tablet, turn.hand.id, at + 5 * SECOND_MS, 'sent-back', say);
  if (shoe !== 'both' && !WAYS.together.includes(to) && shop.random.chance(SHARE_PARTED)) {
    shop.scribe.say(turn.tablet, turn.hand.id, at + 5 * SECOND_MS, 'parted', {
      pair: pair.id,
      shoe,
      why: reason,
    });
    pair.parted = { shoe, stage: to };
  }
  pair.timesSentBack += 1;
  for (const stage of [to, ...again.map((one) => one.stage)]) pair.done.delete(stage);
  shop.queues.admit(pair);
  return at + 20 * SECOND_MS;
}

function putAside(shop: Shop, turn: Turn, begun: Begun, minutes: number, at: Instant): Instant {
  const { pair } = begun;
  const reason =
    turn.stage === FINDING_THE_LAST
      ? (SET_ASIDE_REASONS[0] ?? '')
      : shop.random.pick(SET_ASIDE_REASONS.slice(1));
  leaveUnfinished(shop, turn, begun, at);
  layAside(shop, turn, pair, reason, at + 4 * SECOND_MS);
  pair.rest.set(turn.stage, minutes * 0.6);
  shop.queues.putBack(pair, turn.stage, at);
  return at + 20 * SECOND_MS;
}

function layAside(shop: Shop, turn: Turn, pair: PairOnLine, reason: string, at: Instant): void {
  shop.scribe.say(turn.tablet, turn.hand.id, at, 'set-aside', { pair: pair.id, stage: turn.stage, reason });
  pair.setAside = true;
  pair.heldUntil = someDayAfter(shop, at);
}

/** A note of weight stop: the pair waits for the owner, then a supervisor lets it go on. */
function halt(shop: Shop, turn: Turn, pair: PairOnLine, note: NoteOnPair, at: Instant): void {
  layAside(shop, turn, pair, note.finding.text, at);
  askAgain(shop, pair, note, at);
}

/** Some hour of one of the next working days. */
function someDayAfter({ days, random }: Shop, at: Instant): Instant {
  const coming = days.filter(({ early }) => early.from > at);
  const day = coming[random.int(0, 3)] ?? coming.at(-1);
  if (day === undefined) throw new Error('the calendar ends too early');
  return day.early.from + random.between(1, 8) * HOUR_MS;
}
