/** Every screen of the bench in both positions of the tablet, and the desk: what axe-core finds, sizes, contrast. */
import { expect } from 'playwright/test';
import { actions, bench } from '../../src/words/bench.ts';
import { deskSetUp, pairShown } from '../../src/words/desk.ts';
import { test } from '../support/bench-test.ts';
import { INT, LAY, PAIR, WLT } from '../support/builders.ts';
import { expectGoodLook } from '../support/good-look.ts';
import { axeFindings, faintTexts, smallTargets, stickingOut } from '../support/look-rules.ts';
import { onlyOne, recordsOfBench } from '../support/sqlite-client.ts';
import { LANDSCAPE, PORTRAIT } from '../support/tablet-rack.ts';

const POSITIONS = [
  ['landscape', LANDSCAPE],
  ['portrait', PORTRAIT],
] as const;
const INES_NAME = 'Ines Okafor';

for (const [position, viewport] of POSITIONS) {
  test(`every screen of the bench is legible, reachable and whole in ${position}`, async ({ rack, site }) => {
    test.setTimeout(120_000);
    const [plain, noted, stopped, done] = [
      await site.logPair(),
      await site.logPair(
        { weight: 'mind', text: 'rib was stuck again' },
        { weight: 'mend', text: 'welt thin at the waist, leave the stitch long there', shoe: 'both' },
      ),
      await site.logPair({ weight: 'stop', text: 'owner has not said yes to the new soles' }),
      await site.logPair(),
    ];
    const film = await rack.film([{ text: 'P7K4292W', symbol: 'qr', scale: 6 }], { blankSeconds: 300 });
    const fresh = await rack.open({ site, viewport });
    await expect(fresh.says).toHaveText(bench.enrol.waiting.says);
    await expectGoodLook(fresh.page, 'not set up');

    const name = `Look in ${position}`;
    const tablet = await rack.open({ site, name, stages: [WLT, INT], viewport, film });
    const { page } = tablet;
    const look = (screen: string) => expectGoodLook(page, screen);
    await look('nobody on');
    await tablet.wedge(plain);
    await look('badge first');
    await tablet.badgeOn(site.badges.ines, INES_NAME);
    await look('badged on');
    await tablet.wedge(done);
    await tablet.expectClockedIn();
    await look('clocked in');
    await tablet.wedge(done);
    await tablet.expectClockedOut();
    await look('clocked out');
    await tablet.wedge(noted);
    await expect(tablet.says).toHaveText(bench.seeNotes(2).says);
    await look('notes to see');
    await tablet.wedge(stopped);
    await expect(tablet.says).toHaveText(bench.stopped('').says);
    await look('stopped');
    await tablet.wedge(plain);
    await tablet.expectClockedIn();
    await tablet.tap(actions.more);
    await look('what else');
    await tablet.tap(actions.setAside);
    await look('why is it set aside');
    await tablet.tap(actions.back);
    await tablet.tap(actions.more);
    await tablet.tap(actions.sendBack);
    await look('back to which stage');
    await tablet.tap(actions.back);
    await tablet.wedge(site.badges.tomasz);
    await look('handed over, one pair open');
    await tablet.wedge(plain);
    await expect(tablet.says).toContainText(INES_NAME);
    await look('open by another');
    await tablet.tap(actions.leave);
    await look('ready');
    await tablet.openHere.getByRole('button').first().tap();
    await look('opened from the list');
    await tablet.wedge(PAIR.replace('P7K4', 'P7K9'));
    await look('misread');
    await tablet.turnKeypad(actions.typeIt);
    await look('keypad');
    await tablet.typeKeys('P7K4292WP7K4292WP7K4');
    await look('keypad, a badge typed');
    await tablet.turnKeypad(actions.closeKeypad);
    await tablet.kept.tap();
    await look('settings');
  });

  test(`the keypad is whole in view in ${position}`, async ({ rack, site }) => {
    const tablet = await rack.open({ site, name: `Keypad in ${position}`, viewport });
    await tablet.turnKeypad(actions.typeIt);
    const enter = tablet.page.locator('.keypad').getByRole('button', { name: actions.enter, exact: true });
    await expect(enter).toBeInViewport({ ratio: 1 });
  });

  test(`the desk is legible and whole in ${position}`, async ({ rack, site }) => {
    const blank = await rack.open({ site, viewport });
    await blank.page.goto(`${site.url}/desk`);
    await expect(blank.page.getByRole('heading', { name: deskSetUp.title })).toBeVisible();
    await expectGoodLook(blank.page, 'desk, not set up');
    const tablet = await rack.open({ site, name: `At the desk in ${position}`, viewport });
    const [known, unknown] = [await site.logPair(), site.ticketOfNobody()];
    await tablet.badgeOn(site.badges.ines, INES_NAME);
    for (const ticket of [known, unknown]) {
      await tablet.wedge(ticket);
      await tablet.expectClockedIn();
    }
    const desk = await rack.openDesk(site, `Desk in ${position}`, viewport);
    await expect(desk.locator('.desk-open')).toContainText(pairShown(unknown));
    await expectGoodLook(desk, 'desk, live');
  });
}

test('the rules find what breaks them', async ({ rack, site }) => {
  const tablet = await rack.open({ site, name: 'Spoilt' });
  const { page } = tablet;
  await tablet.turnKeypad(actions.typeIt);
  await page.evaluate(() => {
    const spoil = (selector: string, style: Partial<CSSStyleDeclaration>) =>
      Object.assign(document.querySelector<HTMLElement>(selector)?.style ?? {}, style);
    spoil('.bar .says', { color: 'rgb(120, 120, 120)' });
    spoil('.keypad .strong', { minHeight: '40px', height: '40px' });
    spoil('.keypad .typed', { width: '3000px' });
    document.querySelector('.ways button')?.replaceChildren();
  });
  expect((await axeFindings(page)).map((finding) => finding.split(':')[0])).toContain('button-name');
  expect(await smallTargets(page)).toEqual([
    expect.stringMatching(new RegExp(`^${actions.enter}: \\d+x40$`)),
  ]);
  expect(await faintTexts(page)).toHaveLength(1);
  expect(await stickingOut(page)).not.toEqual([]);
});

test('a pair with a note takes two scans and one tap', async ({ rack, site }) => {
  const noted = await site.logPair({ weight: 'mind', text: 'rib was stuck again', seeAt: [LAY] });
  const tablet = await rack.open({ site, name: 'One note', stages: [LAY] });
  await tablet.badgeOn(site.badges.ines, INES_NAME);
  const [scans, touches] = [tablet.scans, await tablet.countTouches()];
  await tablet.wedge(noted);
  await tablet.tap(actions.seen);
  await tablet.expectClockedIn();
  await tablet.wedge(noted);
  await tablet.expectClockedOut();
  expect(tablet.scans - scans).toBe(2);
  expect(await touches()).toBe(1);
  await tablet.allSent();
  const stored = await recordsOfBench(site.ledgerFile, 'One note');
  expect(stored.map(({ kind }) => kind).slice(2)).toEqual(['note-seen', 'clocked-in', 'clocked-out']);
  expect(onlyOne(stored, 'note-seen').pair).toBe(noted);
});

test('a pair that is stopped cannot be clocked in', async ({ rack, site }) => {
  const stopped = await site.logPair({ weight: 'stop', text: 'owner has not said yes' });
  const tablet = await rack.open({ site, name: 'Stopped' });
  await tablet.badgeOn(site.badges.ines, INES_NAME);
  await tablet.wedge(stopped);
  await expect(tablet.says).toHaveText(bench.stopped('').says);
  await tablet.wedge(stopped);
  await expect(tablet.says).toHaveText(bench.stopped('').says);
  await tablet.allSent();
  expect((await recordsOfBench(site.ledgerFile, 'Stopped')).map(({ kind }) => kind)).toEqual([
    'bench-set',
    'badged-on',
  ]);
});
