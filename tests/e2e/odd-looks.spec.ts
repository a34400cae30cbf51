/** The bench's questions, lists and drawings in both positions of the tablet, held to the same rules as its other screens. */
import { expect } from 'playwright/test';
import { asStageCode } from '../../src/domain/ids.ts';
import { actions, bench } from '../../src/words/bench.ts';
import { answerLabels, supervisorLines } from '../../src/words/questions.ts';
import { RACK } from '../support/builders.ts';
import { test } from '../support/full-site-test.ts';
import { expectGoodLook } from '../support/good-look.ts';
import { LANDSCAPE, PORTRAIT } from '../support/tablet-rack.ts';
import { exactly } from '../support/whole-way.ts';
import { note } from '../support/whole-way-acts.ts';

const HAT = asStageCode('HAT');
const CHK = asStageCode('CHK');
const SOK = asStageCode('SOK');
const BOX = asStageCode('BOX');
const CLOCKED_IN = /^Clocked in/;

test.use({ actionTimeout: 10_000 });

for (const [position, viewport] of [
  ['landscape', LANDSCAPE],
  ['portrait', PORTRAIT],
] as const) {
  test(`questions, lists and drawings are legible, reachable and whole in ${position}`, async ({
    rack,
    full: { site, pairBefore },
  }) => {
    const things = { withPair: ['Shoe trees', 'Laces'] };
    const [worked, early, boxed] = [
      await pairBefore('FB', CHK, things),
      await pairBefore('FB', HAT, { ...things, last: position, size: '6' }),
      await pairBefore('FB', BOX, things),
    ];
    const tablet = await rack.open({ site, name: `Odd in ${position}`, stages: [CHK, SOK, BOX], viewport });
    const look = (screen: string) => expectGoodLook(tablet.page, screen);
    await tablet.badgeOn(site.badges.ines, 'Ines Okafor');
    await tablet.wedgeUntil(worked, worked, exactly(bench.reminders.says));
    await look('reminders');
    await tablet.tap(actions.looked);
    await tablet.untilCard(worked, CLOCKED_IN);
    for (const name of [actions.allReminders, actions.part, actions.withAnother]) {
      await tablet.tap(actions.more);
      await tablet.tap(name);
      await look(name);
      await tablet.tap(actions.back);
    }
    await tablet.tap(actions.addNote);
    await look('where is it');
    await tablet.tapZone('left, tread, inside');
    await look('what is it');
    await tablet.tap(actions.back);
    await note(tablet, 'left, tread, inside', 'Thin spot in the sole');
    await look('noted');
    await tablet.wedgeUntil(`${worked}L`, worked, exactly(bench.checking(false).says));
    await look('final check');

    await tablet.wedgeUntil(early, early, /^Not yet/);
    await look('not due');
    await tablet.tap(answerLabels.late);
    await look('why it has no scan');
    await tablet.tap(actions.back);
    await tablet.wedgeUntil(site.badges.ruth, early, exactly(supervisorLines.title('Ruth Adeyemi').says));
    await look('let it through');
    await tablet.tap(actions.back);

    await tablet.wedgeUntil(boxed, boxed, exactly(bench.reminders.says));
    await tablet.tap(actions.looked);
    await tablet.untilCard(boxed, CLOCKED_IN);
    await tablet.wedge(RACK);
    await tablet.untilCard(boxed, exactly(bench.racked('Rack 4').says));
    await tablet.wedgeUntil(`${boxed}L`, boxed, exactly(bench.boxing(false).says));
    await look('boxing');
    await tablet.tap(actions.tagByEye);
    await tablet.tap(actions.boxed);
    await tablet.untilCard(boxed, exactly(bench.whyBox.says));
    await look('why not all is back');
    await tablet.tap(actions.back);
    await tablet.tap(actions.notFinished);
    await tablet.tap(actions.toBench);
    await tablet.wedge(RACK);
    await expect(tablet.says).toContainText('Rack 4');
    await look('rack');
  });
}
