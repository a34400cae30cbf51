/** What does not go straight on: every question that the bench asks before work, each with its answers. */
import { expect } from 'playwright/test';
import { inGroups } from '../../src/domain/code.ts';
import { asStageCode, type PairId } from '../../src/domain/ids.ts';
import { actions, bench } from '../../src/words/bench.ts';
import {
  lateReasons,
  letThroughReasons,
  machineReasons,
  supervisorChoices,
} from '../../src/words/choices.ts';
import { answerLabels, supervisorLines, yesLabels } from '../../src/words/questions.ts';
import { asked } from '../support/asked.ts';
import { INES, RUTH } from '../support/builders.ts';
import { STITCHER, test } from '../support/full-site-test.ts';
import { newToken } from '../support/site.ts';
import { onlyOne, recordsOfBench } from '../support/sqlite-client.ts';
import type { Tablet } from '../support/tablet.ts';
import { exactly } from '../support/whole-way.ts';
import { note } from '../support/whole-way-acts.ts';
import { OfficeDesk } from '../support/whole-way-desk.ts';
import { APPRENTICE } from '../support/whole-way-hands.ts';
import { recordsOfPair } from '../support/whole-way-records.ts';

const INES_NAME = 'Ines Okafor';
const RUTH_NAME = 'Ruth Adeyemi';
const CLOCKED_IN = /^Clocked in/;
const CLOCKED_OUT = /^Clocked out/;
const LAS = asStageCode('LAS');
const WRP = asStageCode('WRP');
const PUL = asStageCode('PUL');
const PRP = asStageCode('PRP');
const STI = asStageCode('STI');
const TOP = asStageCode('TOP');
const EST = asStageCode('EST');
const WAX = asStageCode('WAX');
const UPL = asStageCode('UPL');
const LAC = asStageCode('LAC');

test.use({ actionTimeout: 10_000 });

/** Looks at the stage's reminders for the first time that day. */
async function look(tablet: Tablet, pair: PairId): Promise<void> {
  await tablet.untilCard(pair, exactly(bench.reminders.says));
  await tablet.tap(actions.looked);
}

test('a pair that is not due: the wrong one, done and not scanned, let through, or not in need of it', async ({
  rack,
  full: { site, pairBefore },
}) => {
  const pairs = [];
  for (let pair = 0; pair < 4; pair += 1)
    pairs.push(await pairBefore('FB', LAS, { last: `4${pair}`, yes: 'given' }));
  const [wrong, unscanned, ready, spared] = pairs as [PairId, PairId, PairId, PairId];
  const tablet = await rack.open({ site, name: 'Not due', stages: [WRP] });
  await tablet.badgeOn(site.badges.ines, INES_NAME);
  const { says, next } = asked('not-due', { stages: ['Re-lasting'] });

  await tablet.wedgeUntil(wrong, wrong, exactly(says));
  await expect(tablet.next).toHaveText(next);
  await tablet.tap(actions.notThisPair);
  await expect(tablet.says).toHaveText(bench.ready(0).says);

  await tablet.wedgeUntil(unscanned, unscanned, exactly(says));
  await tablet.tap(answerLabels.late);
  await expect(tablet.page.locator('.placed')).toHaveText('Re-lasting');
  await tablet.tap(lateReasons[0] ?? '');
  await tablet.untilCard(unscanned, CLOCKED_IN);

  await tablet.wedgeUntil(ready, ready, exactly(says));
  await tablet.wedgeUntil(site.badges.ruth, ready, exactly(supervisorLines.title(RUTH_NAME).says));
  await tablet.tap(letThroughReasons['not-due'][1] ?? '');
  await tablet.untilCard(ready, CLOCKED_IN);
  await expect(tablet.who).toContainText(INES_NAME);

  await tablet.wedgeUntil(spared, spared, exactly(says));
  await tablet.wedgeUntil(site.badges.ruth, spared, exactly(supervisorLines.title(RUTH_NAME).says));
  await tablet.tap(supervisorChoices.notNeeded('Re-lasting'));
  await tablet.untilCard(spared, CLOCKED_IN);

  await tablet.untilSent();
  const kindsOf = async (pair: PairId) =>
    (await recordsOfPair(site.ledgerFile, pair)).slice(-2).map(({ kind, by }) => [kind, by]);
  expect((await recordsOfPair(site.ledgerFile, wrong)).at(-1)?.kind).toBe('done-unscanned');
  // With re-lasting the pair of lasts was taken, though nobody scanned it.
  expect((await recordsOfPair(site.ledgerFile, unscanned)).slice(-3)).toMatchObject([
    { kind: 'done-unscanned', stage: LAS, by: INES, why: lateReasons[0] },
    { kind: 'last-taken', last: '41 8 F' },
    { kind: 'clocked-in', stage: WRP },
  ]);
  expect(await kindsOf(ready)).toEqual([
    ['let-through', RUTH],
    ['clocked-in', INES],
  ]);
  expect(await kindsOf(spared)).toEqual([
    ['not-needed', RUTH],
    ['clocked-in', INES],
  ]);
});

test('a hand who is not released is asked for one who is, or for a supervisor', async ({
  rack,
  full: { site, pairBefore, apprentice, stitcher },
}) => {
  const [answered, watched] = [await pairBefore('HF', STI), await pairBefore('HF', STI)];
  const tablet = await rack.open({ site, name: 'Not released', stages: [STI] });
  await tablet.badgeOn(apprentice.badge, APPRENTICE);
  const { says } = asked('not-released', { stage: 'Sole stitching' });

  await tablet.wedgeUntil(answered, answered, exactly(says));
  await tablet.wedge(stitcher.badge);
  await look(tablet, answered);
  await tablet.untilCard(answered, CLOCKED_IN);
  await expect(tablet.who).toContainText(APPRENTICE);

  await tablet.wedgeUntil(watched, watched, exactly(says));
  await tablet.wedgeUntil(site.badges.ruth, watched, exactly(supervisorLines.title(RUTH_NAME).says));
  await tablet.tap(letThroughReasons['not-released'][0] ?? '');
  await tablet.untilCard(watched, CLOCKED_IN);

  await tablet.untilSent();
  const [clockedIn, joined] = (await recordsOfPair(site.ledgerFile, answered)).slice(-2);
  expect(clockedIn).toMatchObject({ kind: 'clocked-in', by: apprentice.id });
  expect(joined).toMatchObject({ kind: 'hand-joined', of: clockedIn?.id, hand: stitcher.id, as: 'answers' });
  expect((await recordsOfPair(site.ledgerFile, watched)).slice(-2)).toMatchObject([
    { kind: 'let-through', past: 'not-released', by: RUTH },
    { kind: 'clocked-in', by: apprentice.id },
  ]);
});

test('a machine out of use stands still for everybody until a supervisor says that it runs', async ({
  rack,
  full: { site, pairBefore, stitcher },
}) => {
  const [first, byHand, later] = [
    await pairBefore('HF', STI),
    await pairBefore('HF', STI),
    await pairBefore('HF', STI),
  ];
  const tablet = await rack.open({ site, name: 'Out of use', stages: [STI] });
  await tablet.badgeOn(stitcher.badge, STITCHER);
  await tablet.wedge(first);
  await look(tablet, first);
  await tablet.untilCard(first, CLOCKED_IN);
  const why = machineReasons[0] ?? '';
  for (const name of [actions.more, actions.machineOut, why]) await tablet.tap(name);
  await tablet.untilCard(first, exactly(bench.machineStopped.says));

  const { says, next } = asked('out-of-use', { reason: why });
  const toSupervisor = async (pair: PairId) => {
    await tablet.wedgeUntil(pair, pair, exactly(says));
    await expect(tablet.next).toHaveText(next);
    await tablet.wedgeUntil(site.badges.ruth, pair, exactly(supervisorLines.title(RUTH_NAME).says));
  };
  await toSupervisor(byHand);
  await tablet.tap(letThroughReasons['out-of-use'][0] ?? '');
  await tablet.untilCard(byHand, CLOCKED_IN);
  await toSupervisor(later);
  await tablet.tap(supervisorChoices.machineBack);
  await tablet.untilCard(later, CLOCKED_IN);

  await tablet.untilSent();
  const stored = await recordsOfBench(site.ledgerFile, 'Out of use');
  expect(onlyOne(stored, 'machine-stopped')).toMatchObject({ stage: STI, why, by: stitcher.id });
  expect(onlyOne(stored, 'machine-back')).toMatchObject({ stage: STI, by: RUTH });
  expect(onlyOne(stored, 'let-through')).toMatchObject({ pair: byHand, past: 'out-of-use' });
});

test('a pair of lasts that is in another pair is asked about, and a pair can be only found', async ({
  rack,
  full: { site, pairBefore },
}) => {
  const told = { last: '77', size: '7', fitting: 'G' };
  const [holder, second, third] = [
    await pairBefore('FB', LAS, told),
    await pairBefore('FB', LAS, told),
    await pairBefore('FB', LAS, told),
  ];
  const tablet = await rack.open({ site, name: 'Lasts', stages: [LAS] });
  await tablet.badgeOn(site.badges.ines, INES_NAME);
  await tablet.wedge(holder);
  await look(tablet, holder);
  await tablet.untilCard(holder, CLOCKED_IN);
  const { says } = asked('last-held', { pair: holder });
  await tablet.wedgeUntil(second, second, exactly(says));
  await tablet.tap(yesLabels['last-held'] ?? '');
  await tablet.untilCard(second, CLOCKED_IN);
  await tablet.wedge(third);
  await tablet.untilCard(third, /^Its last is in/);
  await tablet.tap(answerLabels.onlyFound);
  await expect(tablet.says).toHaveText(bench.found('').says);

  await tablet.wedge(third);
  await tablet.untilCard(third, /^Its last is in/);
  await tablet.tap(actions.leave);
  await tablet.tap(actions.find);
  await expect(tablet.says).toHaveText(bench.finding.says);
  await tablet.wedge(second);
  await expect(tablet.next).toHaveText(bench.found(inGroups(second).join(' ')).next);
  await tablet.tap(actions.endFinding);
  await expect(tablet.says).toHaveText(bench.ready(2).says);

  await tablet.untilSent();
  const stored = await recordsOfBench(site.ledgerFile, 'Lasts');
  const pairsOf = (kind: string) =>
    stored.flatMap(({ record }) => (record.kind === kind && 'pair' in record ? [record.pair] : []));
  expect(pairsOf('last-taken')).toEqual([holder, second]);
  expect(pairsOf('found-here')).toEqual([third, second]);
  expect(pairsOf('clocked-in')).toEqual([holder, second]);
});

test('pairs are put on a rack, and a rack goes in and out by one touch each', async ({
  rack,
  full: { site, pairBefore },
}) => {
  // A rack of its own: other tests put pairs on the site's.
  const own = newToken('rack');
  await site.changeBook((book) => ({ ...book, racks: [...book.racks, { rack: own, name: 'Rack 9' }] }));
  const pairs = [await pairBefore('LG', UPL), await pairBefore('LG', UPL)];
  const tablet = await rack.open({ site, name: 'Rack', stages: [UPL, LAC] });
  await tablet.badgeOn(site.badges.ines, INES_NAME);
  for (const [index, pair] of pairs.entries()) {
    await tablet.wedge(pair);
    if (index === 0) await look(tablet, pair);
    await tablet.untilCard(pair, CLOCKED_IN);
    await tablet.wedgeUntil(`${pair}L`, pair, CLOCKED_OUT);
    await tablet.wedge(own);
    await tablet.untilCard(pair, exactly(bench.racked('Rack 9').says));
  }
  await tablet.tap(actions.toBench);
  await tablet.wedge(own);
  await expect(tablet.says).toHaveText(bench.rack('Rack 9', 2).says);
  await expect(tablet.page.locator('.rack-list li')).toHaveCount(2);
  const touches = await tablet.countTouches();
  await tablet.tap(actions.rackIn);
  await expect(tablet.says).toHaveText(bench.many('in', 2, 0).says);
  await tablet.wedge(own);
  await expect(tablet.says).toHaveText(bench.rack('Rack 9', 2).says);
  await tablet.tap(actions.rackOut);
  await expect(tablet.says).toHaveText(bench.many('out', 2, 0).says);
  expect(await touches()).toBe(2);

  await tablet.untilSent();
  for (const pair of pairs)
    expect((await recordsOfPair(site.ledgerFile, pair)).slice(-3)).toMatchObject([
      { kind: 'racked', rack: own },
      { kind: 'clocked-in', stage: LAC },
      { kind: 'clocked-out', stage: LAC, outcome: 'done' },
    ]);
});

test('the same hand goes on to the next stage by one touch', async ({ rack, full: { site, pairBefore } }) => {
  const pair = await pairBefore('HL', EST, { yes: 'not-wanted' });
  const tablet = await rack.open({ site, name: 'On to', stages: [EST, WAX] });
  await tablet.badgeOn(site.badges.ines, INES_NAME);
  await tablet.wedge(pair);
  await look(tablet, pair);
  await tablet.untilCard(pair, CLOCKED_IN);
  await tablet.wedgeUntil(`${pair}R`, pair, CLOCKED_OUT);
  await tablet.tap(actions.onTo('Hot wax and edge ironing'));
  await look(tablet, pair);
  await tablet.untilCard(pair, CLOCKED_IN);
  await tablet.untilSent();
  expect((await recordsOfPair(site.ledgerFile, pair)).slice(-2)).toMatchObject([
    { kind: 'clocked-out', stage: EST },
    { kind: 'clocked-in', stage: WAX },
  ]);
});

test('a parted pair is asked which shoe is here, unless the shoe’s own tag says it', async ({
  rack,
  full: { site, pairBefore },
}) => {
  const pair = await pairBefore('HL', TOP, { yes: 'not-wanted' });
  await site.append(site.office.write('parted', { pair, shoe: 'left' }));
  const tablet = await rack.open({ site, name: 'Which shoe', stages: [TOP] });
  await tablet.badgeOn(site.badges.ines, INES_NAME);
  const { says, next } = asked('which-shoe', { shoe: 'left' });
  await tablet.wedgeUntil(pair, pair, exactly(says));
  await expect(tablet.next).toHaveText(next);
  await tablet.tap(answerLabels.left);
  await look(tablet, pair);
  await tablet.untilCard(pair, CLOCKED_IN);
  await tablet.wedgeUntil(`${pair}L`, pair, CLOCKED_OUT);
  await tablet.wedgeUntil(`${pair}R`, pair, CLOCKED_IN);
  await tablet.untilSent();
  const stored = await recordsOfBench(site.ledgerFile, 'Which shoe');
  const shoes = stored.flatMap(({ record }) => (record.kind === 'clocked-in' ? [record.shoe] : []));
  expect(shoes).toEqual(['left', 'right']);
});

test('more than was agreed on asks the owner again: go on with another job, or stop', async ({
  rack,
  full: { site, pairBefore },
}) => {
  const [on, off] = [await pairBefore('HF', PUL), await pairBefore('HF', PUL)];
  const desk = await OfficeDesk.open(site, rack, RUTH_NAME);
  const tablet = await rack.open({ site, name: 'Asks the owner', stages: [PUL, PRP] });
  await tablet.badgeOn(site.badges.ines, INES_NAME);
  const waits = asked('owners-yes', { reason: 'Welt torn, short' });
  for (const [index, pair] of [on, off].entries()) {
    await tablet.wedge(pair);
    if (index === 0) await look(tablet, pair);
    await tablet.untilCard(pair, CLOCKED_IN);
    await note(tablet, 'left, waist edge, outside', 'Welt torn, short');
    await tablet.untilCard(pair, exactly(bench.noted.owner.says));
    await tablet.wedgeUntil(`${pair}L`, pair, CLOCKED_OUT);
    await tablet.wedgeUntil(`${pair}R`, pair, exactly(waits.says));
    await expect(tablet.next).toHaveText(waits.next);
    await tablet.tap(actions.leave);
  }
  await tablet.untilSent();
  await desk.answer(on, 'go-on', 'FB');
  await desk.answer(off, 'stop');

  await tablet.wedge(on);
  await look(tablet, on);
  await tablet.untilCard(on, CLOCKED_IN);
  await expect(tablet.page.locator('.facts')).toContainText('Full rebuild');
  await tablet.wedgeUntil(off, off, exactly(asked('returned-in-parts').says));
  await tablet.untilSent();
  expect((await recordsOfPair(site.ledgerFile, on)).slice(-2)).toMatchObject([
    { kind: 'owner-answered', answer: 'go-on', job: 'FB' },
    { kind: 'clocked-in', stage: PRP },
  ]);
  expect((await recordsOfPair(site.ledgerFile, off)).at(-1)).toMatchObject({
    kind: 'owner-answered',
    answer: 'stop',
  });
});
