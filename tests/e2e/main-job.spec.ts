/**
 * The main job from ticket to database. The ticket is drawn by zint and filmed by ffmpeg, the record is read back by
 * SQLite's own program; between them stand a tablet without a network, a cold start and a server that was killed.
 */
import { expect } from 'playwright/test';
import { inGroups } from '../../src/domain/code.ts';
import { bench, keptHere } from '../../src/words/bench.ts';
import { test } from '../support/bench-test.ts';
import { INES, WLT } from '../support/builders.ts';
import { onlyOne, query, recordsOfBench } from '../support/sqlite-client.ts';

/** The film leaves this time between two showings of the ticket: for badging on, and for a cold start. */
const FILM = { blankSeconds: 8, secondsEach: 2.5 };
const SECONDS = 1_000;

const WAYS = [
  { symbol: 'qr', scale: 8, dies: 'between clock-in and clock-out', kept: 1 },
  { symbol: 'code-128', scale: 4, dies: 'before the clock-in', kept: 2 },
] as const;

for (const { symbol, scale, dies, kept } of WAYS) {
  test(`a ticket's ${symbol} clocks in and, after a cold start, out, with the server dead ${dies}; both are stored once`, async ({
    rack,
    ownSite: site,
  }) => {
    await site.start();
    const ticket = await site.logPair();
    const film = await rack.film([{ text: ticket, symbol, scale }], FILM);
    const profile = await rack.newFolder();

    let tablet = await rack.open({ site, name: 'Welting', profile, film });
    await tablet.installed();
    await tablet.badgeOn(site.badges.ines, 'Ines Okafor');
    const goesDead = async () => {
      await tablet.allSent();
      await site.kill();
      await tablet.context.setOffline(true);
    };
    if (dies === 'before the clock-in') await goesDead();
    await tablet.expectClockedIn({ timeout: 30_000 });
    const inAt = Date.now();
    const said = await tablet.says.textContent();
    if (dies === 'between clock-in and clock-out') await goesDead();
    await rack.shut(tablet);

    tablet = await rack.open({ site, profile, film, offline: true });
    await expect(tablet.who).toContainText('Ines Okafor');
    await expect(tablet.openHere).toContainText(inGroups(ticket).join(''));
    await tablet.expectClockedOut({ timeout: 30_000 });
    const outAt = Date.now();
    await expect(tablet.kept).toContainText(keptHere(kept, null));
    await expect(tablet.openHere).toHaveCount(0);

    await site.start();
    await tablet.context.setOffline(false);
    await tablet.allSent(30_000);

    const stored = await recordsOfBench(site.ledgerFile, 'Welting');
    expect(stored.map(({ kind }) => kind)).toEqual(['bench-set', 'badged-on', 'clocked-in', 'clocked-out']);
    expect(stored.map(({ seq }) => seq)).toEqual([1, 2, 3, 4]);
    const [clockedIn, clockedOut] = [onlyOne(stored, 'clocked-in'), onlyOne(stored, 'clocked-out')];
    expect(clockedIn).toMatchObject({ pair: ticket, stage: WLT, by: INES, unknownPair: false });
    expect(clockedOut).toMatchObject({
      pair: ticket,
      stage: WLT,
      by: INES,
      of: clockedIn.id,
      outcome: 'done',
    });
    expect(said).toBe(bench.clockedIn(londonTime(clockedIn.at)).says);
    expect(Math.abs(clockedIn.at - inAt)).toBeLessThan(3 * SECONDS);
    expect(Math.abs(clockedOut.at - outAt)).toBeLessThan(3 * SECONDS);
    expect(await query(site.ledgerFile, 'pragma integrity_check')).toEqual([{ integrity_check: 'ok' }]);
  });
}

/** The site's time of day, in a browser that stands in another zone. */
function londonTime(at: number): string {
  return new Date(at).toLocaleTimeString('en-GB', {
    timeZone: 'Europe/London',
    hour: '2-digit',
    minute: '2-digit',
  });
}
