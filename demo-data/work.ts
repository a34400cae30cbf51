/** What happens while a hand works: finished, not finished, sent back, set aside, or the scan out forgotten. */

import { stageByCode } from '../src/domain/catalogue/stages.ts';
import { clockedIn, clockedOut, sentBack, setAside, takenUp } from '../src/domain/drafts.ts';
import type { Spell } from '../src/domain/fold/pair.ts';
import { asStageCode, type OperativeId, type StageCode } from '../src/domain/ids.ts';
import { HOUR_MS, type Instant, MINUTE_MS } from '../src/domain/instant.ts';
import { begunBy } from './begun.ts';
import { FAULTS_HERE, type FaultHere, SET_ASIDE_REASONS } from './findings.ts';
import { type Act, cureNotes, inspect, noteCured, seeNotes } from './notes.ts';
import type { NoteOnPair, PairOnLine } from './pairs.ts';
import type { Prng } from './prng.ts';
import type { Queues } from './queues.ts';
import { type ShiftWindow, type WorkingDay, workedMinutes, workedUntil } from './shifts.ts';
import type { Scribe, Tablet } from './tablets.ts';
import { CLOSING_STAGE, minutesAt } from './workshop.ts';

const SECOND_MS = 1000;
const INSPECTION = asStageCode('TRI');
const FINDING_THE_LAST = asStageCode('FND');
/** On a rack, what is got ready once serves all. */
const RACK_SHARE = 0.75;
const TIMES_SENT_BACK_MAX = 2;
/** Of the spells that end when the hand goes home. */
const SHARE_FORGOTTEN = 0.05;

export interface Shop {
  readonly random: Prng;
  readonly scribe: Scribe;
  readonly queues: Queues;
  readonly desk: Tablet;
  readonly supervisors: readonly OperativeId[];
  readonly days: readonly WorkingDay[];
}

/** One hand, one stage, one pair or a rack of them. */
export interface Turn {
  readonly tablet: Tablet;
  readonly hand: { readonly id: OperativeId; readonly pace: number };
  readonly shift: ShiftWindow;
  readonly stage: StageCode;
  readonly pairs: readonly PairOnLine[];
  readonly at: Instant;
}

/** A spell whose scan out was forgotten when the shift ended. */
export interface Forgotten {
  readonly pair: PairOnLine;
  readonly spell: Spell;
  readonly tablet: Tablet;
}

export interface Worked {
  readonly freeAt: Instant;
  readonly forgotten: Forgotten | null;
}

export function work(shop: Shop, turn: Turn): Worked {
  const { pairs, stage, hand, shift } = turn;
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
  let at = turn.at;
  return turn.pairs.map((pair) => {
    at += shop.random.int(3, 12) * SECOND_MS;
    const begun = begin(shop, turn, pair, at);
    at = begun.spell.from;
    return begun;
  });
}

function begin(
  { scribe, random }: Shop,
  { tablet, hand, stage }: Turn,
  pair: PairOnLine,
  at: Instant,
): Begun {
  if (pair.setAside) {
    scribe.write(tablet, hand.id, at, (making) => takenUp(making, pair.id));
    pair.setAside = false;
  }
  const act: Act = { scribe, random, tablet, by: hand.id };
  const from = seeNotes(act, pair, stage, at + SECOND_MS);
  const draft = scribe.write(tablet, hand.id, from, (making) => clockedIn(making, pair.id, stage, false));
  return { pair, spell: begunBy(draft, from) };
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
  if (ends > shift.to - 40 * MINUTE_MS && stage !== INSPECTION && random.chance(SHARE_FORGOTTEN)) {
    // Nobody touches it until it is scanned out.
    pair.busyUntil = Number.POSITIVE_INFINITY;
    return { freeAt: ends, forgotten: { pair, spell, tablet } };
  }
  const halting =
    stage === INSPECTION ? inspect(actOf(shop, turn), pair, stage, spell.from + MINUTE_MS) : null;
  const freeAt = finishAll(shop, turn, [begun], Math.max(ends, spell.from + 3 * MINUTE_MS));
  if (halting !== null) halt(shop, turn, pair, halting, freeAt + SECOND_MS);
  return { freeAt, forgotten: null };
}

function actOf({ scribe, random }: Shop, { tablet, hand }: Turn): Act {
  return { scribe, random, tablet, by: hand.id };
}

/** One scan out each, some seconds apart. Returns when the last is made. */
function finishAll(shop: Shop, turn: Turn, spells: readonly Begun[], at: Instant): Instant {
  let outAt = at;
  for (const { pair, spell } of spells) {
    cureNotes(actOf(shop, turn), pair, turn.stage, outAt);
    clockOut(shop, turn, { pair, spell, tablet: turn.tablet }, outAt);
    markDone(shop, pair, turn.stage, outAt);
    outAt += shop.random.int(2, 6) * SECOND_MS;
  }
  return outAt;
}

/** The scan out of finished work. */
export function clockOut(
  { scribe }: Shop,
  { hand }: Pick<Turn, 'hand'>,
  { pair, spell, tablet }: Forgotten,
  at: Instant,
): void {
  scribe.write(tablet, hand.id, at, (making) => clockedOut(making, pair.id, spell, 'done', CLOSING_STAGE));
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
  const shoe = fault.bothShoes ? 'both' : shop.random.pick(['left', 'right'] as const);
  leaveUnfinished(shop, turn, begun, at);
  shop.scribe.write(turn.tablet, turn.hand.id, at + 5 * SECOND_MS, (making) =>
    sentBack(making, pair.id, turn.stage, fault.backTo, shoe, fault.reason),
  );
  pair.timesSentBack += 1;
  for (const stage of [fault.backTo, ...fault.again]) pair.done.delete(stage);
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
  shop.scribe.write(turn.tablet, turn.hand.id, at, (making) => setAside(making, pair.id, turn.stage, reason));
  pair.setAside = true;
  pair.heldUntil = someDayAfter(shop, at);
}

/** A note of weight stop: the pair waits for the owner, then a supervisor lets it go on. */
function halt(shop: Shop, turn: Turn, pair: PairOnLine, note: NoteOnPair, at: Instant): void {
  layAside(shop, turn, pair, note.finding.text, at);
  const by = shop.random.pick(shop.supervisors);
  note.cured = true;
  shop.scribe.write(shop.desk, by, pair.heldUntil - 5 * MINUTE_MS, (making) =>
    noteCured(making, pair.id, note.id, turn.stage),
  );
}

/** Some hour of one of the next working days. */
function someDayAfter({ days, random }: Shop, at: Instant): Instant {
  const coming = days.filter(({ early }) => early.from > at);
  const day = coming[random.int(0, 3)] ?? coming.at(-1);
  if (day === undefined) throw new Error('the calendar ends too early');
  return day.early.from + random.between(1, 8) * HOUR_MS;
}
