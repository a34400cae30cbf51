/** One forecast of a site is under way at a time, however often it is asked for and however long it takes. */
import { expect, test } from 'vitest';
import { NO_CALENDAR } from '../../src/domain/calendar/versions.ts';
import { MINUTE_MS } from '../../src/domain/instant.ts';
import type { ServerLedger } from '../../src/server/ledger/ledger.ts';
import { Forecasts } from '../../src/server/sheet/forecasts.ts';
import { fullBook, MONDAY_8, SITE } from '../support/builders.ts';
import { testServer } from '../support/server.ts';

async function asking() {
  const server = await testServer({ book: fullBook() });
  const { bench } = await server.enrol('desk');
  const [standing, book] = [await server.ledger.standing(SITE, bench), await server.ledger.book(SITE)];
  if (standing === null || book === null) throw new Error('no site');
  let reckoned = 0;
  let release: () => void = () => undefined;
  const held = new Promise<void>((resolve) => {
    release = resolve;
  });
  const { ledger } = server;
  const factsBetween = ledger.factsBetween.bind(ledger);
  ledger.factsBetween = async (...told: Parameters<ServerLedger['factsBetween']>) => {
    reckoned += 1;
    await held;
    return factsBetween(...told);
  };
  const forecasts = new Forecasts(ledger, SITE);
  const ask = (minutes: number, version = standing.book) =>
    forecasts.forecast({
      standing: { ...standing, book: version },
      book: { ...book, version },
      calendar: NO_CALENDAR,
      now: MONDAY_8 + minutes * MINUTE_MS,
    });
  return { ask, release: () => release(), reckoned: () => reckoned };
}

test('who asks again while a slow one is reckoned waits for that one', async () => {
  const { ask, release, reckoned } = await asking();
  const answers = [0, 1, 6, 12, 30].map((minutes) => ask(minutes));
  release();
  const [first, ...others] = await Promise.all(answers);
  for (const other of others) expect(other).toBe(first);
  expect(reckoned()).toBe(1);
  const later = await ask(36);
  expect(later).not.toBe(first);
  expect(reckoned()).toBe(2);
});

test('one by another book is reckoned after it, not beside it', async () => {
  const { ask, release, reckoned } = await asking();
  const answers = [ask(0), ask(0, 90), ask(0, 91)];
  await new Promise((resolve) => setTimeout(resolve, 20));
  expect(reckoned()).toBe(1);
  release();
  await Promise.all(answers);
  expect(reckoned()).toBe(3);
});
