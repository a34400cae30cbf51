/** What hands do on a card beyond scanning in and out, tap by tap. */
import { expect } from 'playwright/test';
import { inGroups } from '../../src/domain/code.ts';
import { asStageCode, type PairId } from '../../src/domain/ids.ts';
import { actions, bench } from '../../src/words/bench.ts';
import { boxReasons, checkLabels, passReasons } from '../../src/words/choices.ts';
import { answerLabels } from '../../src/words/questions.ts';
import { refusalLine } from '../../src/words/scans.ts';
import { ASK, asked } from './asked.ts';
import type { Tablet } from './tablet.ts';
import { exactly, type Floor } from './whole-way.ts';

const ETR = asStageCode('ETR');
const STI = asStageCode('STI');
const LEV = asStageCode('LEV');

/** A note on the drawing, on the card of a pair in work: three taps. */
export async function note(tablet: Tablet, place: string, defect: string): Promise<void> {
  await tablet.tap(actions.addNote);
  await tablet.tapZone(place);
  await tablet.page.locator('button.defect').filter({ hasText: defect }).tap();
}

/** The stitch is skipped on the left shoe: seen at the edge trimmer, done again at the stitcher and the leveller. */
export async function sendBackLeft(floor: Floor, pair: PairId): Promise<void> {
  await floor.besides(ETR, pair, async (tablet) => {
    const fault = 'Sole stitch skipped, loose or uneven → Sole stitching';
    for (const name of [actions.more, actions.sendBack, 'left', fault]) await tablet.tap(name);
    await tablet.untilCard(pair, exactly('Left sent back to Sole stitching'));
  });
  floor.owe(pair, [STI, LEV]);
  floor.moved(pair, ETR, 'met');
}

/** Both shoes are there again: asked before the edge is trimmed, answered by one tap. */
export async function rejoin(floor: Floor, pair: PairId): Promise<void> {
  await floor.hear(ETR);
  await floor.besides(ETR, pair, async (tablet) => {
    await tablet.wedgeUntil(pair, pair, exactly(asked('parted', { shoe: 'left' }).says));
    await tablet.tap(answerLabels.together);
    await tablet.untilCard(pair, /^Clocked in/);
  });
  floor.moved(pair, ETR, 'at-work');
  await floor.check('both shoes together again');
  await floor.clockOut(ETR, pair);
  await floor.check('out of ETR, both shoes');
}

/** Felt for nail points and compared, then passed: by a third scan, or with a reason where a note is open. */
export async function finalCheck(tablet: Tablet, pair: PairId, noteOpen: boolean): Promise<void> {
  await tablet.tap(checkLabels.probe);
  await tablet.tap(checkLabels.board);
  await tablet.untilCard(pair, exactly(bench.checking(true).says));
  if (!noteOpen) {
    await tablet.wedgeUntil(pair, pair, /^Clocked out/);
    return;
  }
  await tablet.tap(actions.pass);
  await tablet.untilCard(pair, exactly(bench.whyPass.says));
  await tablet.tap(passReasons[0] ?? '');
}

/** The tag of another pair's shoe is on the bench: told at once, and nothing is recorded. */
export async function wrongShoe(tablet: Tablet, pair: PairId, other: PairId): Promise<void> {
  const { says, next } = refusalLine({ is: 'mixed-pair', card: pair, tag: other }, ASK);
  await tablet.wedgeUntil(`${other}R`, pair, exactly(says));
  await expect(tablet.next).toHaveText(next);
  await expect(tablet.next).toContainText(inGroups(pair).join(' '));
}

export interface Boxing {
  readonly things: readonly string[];
  /** The second shoe has no tag on it. */
  readonly byEye: boolean;
  /** What does not go back with the pair. */
  readonly keptBack: string | null;
}

/** The second shoe's number, a tick for each thing, and *Boxed*; a reason where something is not back. */
export async function box(tablet: Tablet, pair: PairId, { things, byEye, keptBack }: Boxing): Promise<void> {
  const compared = exactly(bench.boxing(true).says);
  if (byEye) {
    await tablet.tap(actions.tagByEye);
    await tablet.untilCard(pair, compared);
  } else await tablet.wedgeUntil(tablet.restOf(`${pair}R`) === 0 ? `${pair}R` : `${pair}L`, pair, compared);
  for (const thing of things.filter((one) => one !== keptBack)) await tablet.tap(thing);
  await tablet.tap(actions.boxed);
  if (keptBack === null) return;
  await tablet.untilCard(pair, exactly(bench.whyBox.says));
  await tablet.tap(boxReasons[0] ?? '');
}
