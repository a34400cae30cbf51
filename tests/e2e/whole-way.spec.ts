/**
 * The pairs' whole way: one of each kind of job marches over eight tablets from booking in to dispatch, two benches
 * without a network for a stretch, with a note cured and one passed open, one pair set aside, and one shoe sent back.
 */
import { expect } from 'playwright/test';
import { asStageCode } from '../../src/domain/ids.ts';
import { actions, bench } from '../../src/words/bench.ts';
import { setAsideReasons } from '../../src/words/choices.ts';
import { yesLabels } from '../../src/words/questions.ts';
import { asked } from '../support/asked.ts';
import { test } from '../support/bench-test.ts';
import { exactly, Floor } from '../support/whole-way.ts';
import { box, finalCheck, note, rejoin, sendBackLeft, wrongShoe } from '../support/whole-way-acts.ts';
import { OfficeDesk } from '../support/whole-way-desk.ts';
import { expectAllKept, expectStory } from '../support/whole-way-ending.ts';
import { addHands, BENCHES } from '../support/whole-way-hands.ts';

const TORN_WELT = 'Welt torn, short';
const THIN_WELT = 'Welt trimmed too thin before';
const TRI = asStageCode('TRI');
const OWN = asStageCode('OWN');
const PUL = asStageCode('PUL');
const FND = asStageCode('FND');
const WLT = asStageCode('WLT');
const STI = asStageCode('STI');
const LEV = asStageCode('LEV');

// A tap that cannot be made is told at once, not when all the time is used up.
test.use({ actionTimeout: 10_000 });

test('one pair of each kind of job goes its whole way over eight tablets', async ({
  rack,
  ownFullSite: site,
}) => {
  test.setTimeout(480_000);
  const hands = await addHands(
    site,
    BENCHES.map(({ hand }) => hand),
  );
  await site.start();
  const things = {
    HF: ['Laces'],
    LG: ['Laces', 'Shoe bag'],
    RS: ['Shoe trees'],
    FB: ['Shoe trees', 'Laces'],
  };
  const hl = await site.logPairAs({ job: 'HL', ownerRef: 'A-1', withPair: [], yes: 'not-wanted' });
  const hf = await site.logPairAs({ job: 'HF', ownerRef: 'A-2', withPair: things.HF, yes: 'given' });
  const lg = await site.logPairAs({ job: 'LG', ownerRef: 'A-3', withPair: things.LG, yes: 'given' });
  const rs = await site.logPairAs({
    ...{ job: 'RS', ownerRef: 'A-4', withPair: things.RS, yes: 'to-ask' },
    ...{ last: '31', size: '9', fitting: 'E' },
  });
  const desk = await OfficeDesk.open(site, rack, 'Ruth Adeyemi');
  const fb = await desk.log({
    ...{ ownerRef: 'A-5', style: 'brown derby', job: 'FB', withPair: things.FB },
    ...{ last: '82', size: '8', fitting: 'F' },
  });

  const floor = await Floor.open(site, rack, hands);
  floor.take(hl, 'HL', 'settled');
  floor.take(hf, 'HF', 'settled');
  floor.take(lg, 'LG', 'settled');
  floor.take(rs, 'RS', 'wanted');
  floor.take(fb, 'FB', 'wanted');
  await floor.check('logged');
  await desk.expectSays(fb, 'Last seen at this desk', 'Full rebuild', 'Inspection');

  // In: the thin welt of the long sole, of which the owner has to hear.
  await floor.pass('TRI', {
    pairs: [hl, hf, rs, fb, lg],
    during: (tablet) =>
      floor.besides(TRI, lg, async () => {
        await note(tablet, 'right, waist edge, outside', THIN_WELT);
        await expect(tablet.says).toHaveText(bench.noted.owner.says);
        floor.owe(lg, [OWN]);
      }),
  });
  await desk.expectSays(lg, 'Last seen at Counter, Inspection', `the owner’s answer`, THIN_WELT);
  await desk.answer(lg, 'go-on');
  floor.owe(lg, [], [OWN]);
  await floor.pass('CLN');
  await desk.expectSays(rs, 'Last seen at Strip-down, Cleaning and drying', 'the owner’s answer');
  for (const pair of [rs, fb]) {
    await desk.answer(pair, 'go-on');
    floor.owe(pair, [], [OWN]);
  }
  await floor.check('the owners have answered');

  // Strip-down: the torn welt.
  await floor.pass('PUL', {
    during: async (tablet) => {
      await floor.besides(PUL, fb, async () => {
        await note(tablet, 'left, waist edge, outside', TORN_WELT);
        await expect(tablet.says).toHaveText(bench.noted.nothing.says);
      });
      await tablet.untilSent();
      await desk.expectSays(fb, 'At Stripping down', TORN_WELT);
    },
  });
  await floor.pass('RIB', { notes: new Map([[fb, 1]]) });

  // Lasting: one pair set aside and taken up again, then the bench loses its network.
  await floor.pass('FND', { pairs: [fb] });
  await floor.clockIn(FND, rs);
  await floor.besides(FND, rs, async (tablet) => {
    for (const name of [actions.more, actions.setAside, setAsideReasons[1] ?? '']) await tablet.tap(name);
    await tablet.untilCard(rs, exactly(bench.setAside('').says));
    floor.moved(rs, FND, 'set-aside');
    await floor.check('set aside');
    await desk.expectSays(rs, 'Set aside at Finding the last', 'Waits for its last');
    await tablet.wedgeUntil(rs, rs, exactly(asked('set-aside').says));
    await tablet.tap(yesLabels['set-aside'] ?? '');
    await tablet.untilCard(rs, /^Clocked in/);
    floor.moved(rs, FND, 'at-work');
    await floor.check('taken up again');
  });
  await floor.clockOut(FND, rs);
  await floor.cut('Lasting');
  await floor.pass('LAS', { pairs: [rs, fb] });
  await floor.pass('WRP', { pairs: [rs, fb] });
  await desk.expectSays(fb, 'Last seen at Lasting, Finding the last', '82 8 F, in no pair by the records');
  // The others do not wait for that.
  await floor.pass('PRP', { pairs: [hf, lg] });
  await floor.pass('TOP', { pairs: [hl] });
  await floor.join('Lasting');
  await desk.expectSays(fb, 'Last seen at Lasting, Wrapping the upper', '82 8 F, in the shoes now');

  // Making: the welt sewer sees the torn welt before the needle, and cures it.
  await floor.pass('WLT', {
    notes: new Map([[fb, 1]]),
    during: async (tablet) => {
      await expect(tablet.page.locator('.note')).toContainText(TORN_WELT);
      await floor.besides(WLT, fb, async () => {
        await tablet.tap(actions.cured);
        await expect(tablet.says).toHaveText(bench.cured.says);
      });
      await tablet.untilSent();
      await desk.expectSays(fb, 'At Welt sewing', 'cured at Welt sewing');
    },
  });
  for (const code of ['INT', 'BEA', 'SEA', 'SHK', 'CRK', 'PRP', 'LAY']) await floor.pass(code);
  await desk.expectSays(lg, 'Last seen at Bottoming, Sole laying', 'Rough rounding');
  const thin = new Map([[lg, 1]]);
  for (const code of ['RND', 'STI']) await floor.pass(code, { notes: thin });
  for (const code of ['SNA', 'LEV', 'SLP']) await floor.pass(code);
  await desk.expectSays(rs, 'Last seen at Lasting, Slipping the last', '31 9 E, in no pair by the records');

  // Heels, without a network.
  await floor.cut('Heels');
  for (const code of ['HBL', 'HAT', 'TOP', 'BRS', 'SC1', 'SC2']) await floor.pass(code);
  await desk.expectSays(rs, 'Last seen at Lasting, Slipping the last', 'Heel building');
  await floor.join('Heels');
  await desk.expectSays(rs, 'Last seen at Heels, Heel scouring, fine', 'Edge trimming');

  // Edges: the trimmer sees the thin welt before the cutter, and one shoe of another pair goes back.
  await floor.pass('ETR', { pairs: [lg, rs, fb, hf], notes: thin, during: () => sendBackLeft(floor, hf) });
  await desk.expectSays(hf, 'Left and right', 'Sole stitching again (left)', 'waits at Edges');
  for (const stage of [STI, LEV]) {
    await floor.clockIn(stage, hf, 0, 'left');
    await floor.check(`left shoe in at ${stage}`);
    if (stage === STI) await desk.expectSays(hf, 'At Sole stitching (left)');
    await floor.clockOut(stage, hf, undefined, 'left');
    await floor.check(`left shoe out of ${stage}`);
  }
  await rejoin(floor, hf);
  for (const code of ['EST', 'WAX', 'EPL', 'BSC', 'BST', 'DET', 'UCL', 'UPL']) await floor.pass(code);

  const came = new Map<string, readonly string[]>([
    [hf, things.HF],
    [lg, things.LG],
    [rs, things.RS],
    [fb, things.FB],
  ]);
  // Out: checked, one of them with its note open; boxed, after a wrong shoe was found in time.
  await floor.pass('CHK', {
    end: {
      asks: exactly(bench.checking(false).says),
      answer: (tablet, pair) => finalCheck(tablet, pair, pair === lg),
    },
  });
  await desk.expectSays(lg, 'Last seen at Checking, Final check', THIN_WELT);
  for (const code of ['SOK', 'LAC']) await floor.pass(code);
  await floor.pass('BOX', {
    end: {
      asks: exactly(bench.boxing(false).says),
      answer: async (tablet, pair) => {
        if (pair === fb) await wrongShoe(tablet, fb, rs);
        const keptBack = pair === lg ? 'Shoe bag' : null;
        await box(tablet, pair, { things: came.get(pair) ?? [], byEye: pair === rs, keptBack });
      },
    },
  });
  await floor.pass('DSP');
  await desk.expectSays(fb, 'Out of the works');

  // What it cost.
  floor.tally.expectTwoScansEach(new Map([[hf, ['STI', 'LEV']]]));
  await test.info().attach('counts', { body: floor.tally.table(), contentType: 'text/plain' });
  expect(floor.tally.beside('TRI', lg)).toEqual({ scans: 0, taps: 3 });
  expect(floor.tally.beside('PUL', fb)).toEqual({ scans: 0, taps: 3 });
  expect(floor.tally.beside('CHK', hl)).toEqual({ scans: 1, taps: 2 });
  expect(floor.tally.beside('CHK', lg)).toEqual({ scans: 0, taps: 4 });
  expect(floor.tally.beside('BOX', hf)).toEqual({ scans: 1, taps: 2 });
  expect(desk.looked).toBeGreaterThanOrEqual(12);

  // Two more spells of one shoe, and one each where the pair went back and where it was set aside.
  await expectAllKept(site.ledgerFile, { pairs: floor.pairs, spellsBesides: 4 });
  await expectStory(site.ledgerFile, { hl, hf, lg, rs, fb });
});
