/** What is recorded when a stage is finished: what it cured, the final check, the box, the clock-out, the lasts, a rack. */
import { clockedOut } from '../src/domain/drafts.ts';
import type { Spell } from '../src/domain/fold/pair-state.ts';
import type { StageCode } from '../src/domain/ids.ts';
import { HOUR_MS, type Instant } from '../src/domain/instant.ts';
import { lastOf } from '../src/domain/way.ts';
import { cureNotes } from './notes.ts';
import type { PairOnLine } from './pairs.ts';
import { SECOND_MS, type Shop, type Worker } from './shop.ts';
import type { Tablet } from './tablets.ts';
import { CLOSING_STAGE, WAYS } from './workshop.ts';

/** Of the pairs that dry for hours: stood on a rack with a scan. */
const SHARE_RACKED = 0.3;

export interface OpenSpell {
  readonly pair: PairOnLine;
  readonly spell: Spell;
  /** Where it was begun. */
  readonly tablet: Tablet;
}

/** Finished work, with all that the bench records at its end. */
export function finish(
  shop: Shop,
  { hand }: Pick<Worker, 'hand'>,
  open: OpenSpell,
  at: Instant,
  timed = true,
) {
  const { scribe, random, lasts } = shop;
  const { pair, spell, tablet } = open;
  const { stage } = spell;
  cureNotes({ scribe, random, tablet, by: hand.id }, pair, stage, at - SECOND_MS);
  if (stage === WAYS.check) checkPair(shop, hand, open, at);
  if (stage === WAYS.box) boxPair(shop, hand, open, at);
  scribe.write(tablet, hand.id, at, (making) =>
    clockedOut(making, pair.id, spell, 'done', CLOSING_STAGE, timed),
  );
  if (stage === WAYS.lastTo && pair.hasLast) {
    scribe.say(tablet, hand.id, at, 'last-freed', { pair: pair.id, last: lastOf(pair) });
    lasts.free(pair, at);
  }
  if (pair.parted?.stage === stage) {
    scribe.say(tablet, hand.id, at + 5 * SECOND_MS, 'rejoined', { pair: pair.id });
    pair.parted = null;
  }
}

/** A pair that dries for hours may be stood on a rack. */
export function standToDry(
  { scribe, random, racks }: Shop,
  { hand, tablet }: Worker,
  pair: PairOnLine,
  stage: StageCode,
  at: Instant,
) {
  const settledAt = pair.done.get(stage)?.settledAt ?? 0;
  if (
    pair.closedAt !== null ||
    pair.parted !== null ||
    settledAt - at < 3 * HOUR_MS ||
    !random.chance(SHARE_RACKED)
  )
    return;
  const rack = random.pick(racks);
  scribe.say(tablet, hand.id, at + SECOND_MS, 'racked', { pair: pair.id, rack });
  pair.rack = rack;
}

function checkPair({ scribe }: Shop, hand: Worker['hand'], { pair, tablet, spell }: OpenSpell, at: Instant) {
  const openNotes = pair.notes.filter(({ cured }) => !cured).map(({ id }) => id);
  const why = openNotes.length === 0 ? null : 'Owner knows of it';
  const said = { probe: true, board: true, openNotes, unrecorded: [], why };
  scribe.say(tablet, hand.id, at - SECOND_MS, 'checked', { pair: pair.id, stage: spell.stage, ...said });
}

function boxPair({ scribe, random }: Shop, hand: Worker['hand'], { pair, tablet }: OpenSpell, at: Instant) {
  const things = pair.withPair.map((thing) => ({ thing, back: !(thing === 'laces' && random.chance(0.1)) }));
  const why = things.some(({ back }) => !back) ? 'Worn through, new ones in' : null;
  const tag = random.chance(0.85) ? 'scanned' : 'by-eye';
  scribe.say(tablet, hand.id, at - SECOND_MS, 'boxed', { pair: pair.id, things, tag, why });
}
