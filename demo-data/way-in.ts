/** What a bench asks and records before a pair is clocked in, and with the clock-in. */

import type { Instant } from '../src/domain/instant.ts';
import type { Draft } from '../src/domain/record/kinds.ts';
import { lastOf } from '../src/domain/way.ts';
import type { PairOnLine } from './pairs.ts';
import { farBefore } from './route.ts';
import { SECOND_MS, type Shop, type Turn } from './shop.ts';
import { hasMachine, reminds, WAYS } from './workshop.ts';

const SHARE_BESIDE = 0.008;
/** Of the work that a hand is not released for: a supervisor looks on, instead of a skilled hand. */
const SHARE_LET_THROUGH = 0.12;

/** The pair as it comes to hand: taken up, off its rack, its shoes together. Returns when that is said. */
export function takeInHand({ scribe }: Shop, turn: Turn, pair: PairOnLine, at: Instant): Instant {
  const { tablet, hand, stage } = turn;
  let saidAt = at;
  const next = () => (saidAt += SECOND_MS);
  if (pair.setAside) scribe.say(tablet, hand.id, next(), 'taken-up', { pair: pair.id });
  pair.setAside = false;
  if (pair.rack !== null) scribe.say(tablet, hand.id, next(), 'unracked', { pair: pair.id, rack: pair.rack });
  pair.rack = null;
  if (pair.parted !== null && pair.parted.stage !== stage) {
    scribe.say(tablet, hand.id, next(), 'rejoined', { pair: pair.id });
    pair.parted = null;
  }
  if (pair.unscanned.size > 0) {
    const before = farBefore(pair.route, stage);
    for (const missed of [...pair.unscanned].filter((code) => before.has(code))) {
      const why = 'Done, nobody scanned';
      scribe.say(tablet, hand.id, next(), 'done-unscanned', {
        pair: pair.id,
        stage: missed,
        shoe: 'both',
        why,
      });
      pair.unscanned.delete(missed);
    }
  }
  return saidAt;
}

/** Once a day for each hand, bench and stage. */
export function showReminders({ scribe, reminded }: Shop, turn: Turn, at: Instant): Instant {
  const { tablet, hand, stage, shift } = turn;
  const key = `${hand.id} ${tablet.bench} ${stage} ${shift.from}`;
  if (!reminds(stage) || reminded.has(key)) return at;
  reminded.add(key);
  scribe.say(tablet, hand.id, at + 4 * SECOND_MS, 'reminders-shown', { stage, wording: 0 });
  return at + 5 * SECOND_MS;
}

/** Clocks in, with whoever answers for it or works beside, and takes the lasts. */
export function clockIn(shop: Shop, turn: Turn, pair: PairOnLine, at: Instant): Draft<'clocked-in'> {
  const { scribe, random, lasts } = shop;
  const { tablet, hand, stage, shift } = turn;
  const answers = answererOf(shop, turn);
  if (answers === 'supervisor') {
    const by = random.pick(shop.supervisors);
    const why = 'I look on';
    scribe.say(tablet, by, at - SECOND_MS, 'let-through', {
      pair: pair.id,
      stage,
      past: 'not-released',
      why,
      hand: hand.id,
    });
  }
  const shoe = pair.parted?.shoe ?? 'both';
  const draft = scribe.say(tablet, hand.id, at, 'clocked-in', {
    pair: pair.id,
    stage,
    shoe,
    unknownPair: false,
  });
  const join = (other: typeof hand.id, as: 'answers' | 'beside', joinedAt: Instant) =>
    scribe.say(tablet, hand.id, joinedAt, 'hand-joined', { pair: pair.id, of: draft.id, hand: other, as });
  if (answers !== null && answers !== 'supervisor') join(answers, 'answers', at);
  else if (random.chance(SHARE_BESIDE)) {
    const [beside] = shop.handsBeside(hand.id, shift).slice(random.int(0, 5));
    if (beside !== undefined) join(beside, 'beside', at + 20 * SECOND_MS);
  }
  if (stage === WAYS.lastFrom && !pair.hasLast) {
    scribe.say(tablet, hand.id, at, 'last-taken', { pair: pair.id, last: lastOf(pair) });
    lasts.take(pair);
  }
  return draft;
}

/** Who answers for work on a machine that the hand is not released for; null where it is released. */
function answererOf(shop: Shop, { hand, stage, shift }: Turn) {
  if (!hasMachine(stage) || hand.released === null || hand.released.includes(stage)) return null;
  const others = shop.handsBeside(hand.id, shift, stage);
  if (others.length === 0 || shop.random.chance(SHARE_LET_THROUGH)) return 'supervisor';
  return shop.random.pick(others);
}
