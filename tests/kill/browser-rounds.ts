/**
 * Round after round: a real browser with two windows of one tablet records through the ledger that ships, is killed
 * with all its processes in the middle of it, and is started again on the same profile. Each start tells what the store
 * holds: everything that was said to be made must be there once, unchanged, with its entry in the outbox, the numbers
 * without gap or double, and the next record must get the next number.
 *
 * A killed browser loses what it has not handed to the operating system. That strict durability is asked for, which
 * hands it on to the disk, is held by tests/contract/tablet-ledger.web.test.ts; no test here pulls a plug.
 */
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { type Prng, prng } from '../../demo-data/prng.ts';
import { servePage } from '../contract/web/browser.ts';
import { accountOfBrowser, type BrowserAccount, brokenIn } from './browser-account.ts';
import { openBrowser } from './browser-process.ts';
import type { Held } from './held.ts';
import { Witness } from './witness.ts';

const WINDOWS = 2;
/** From a round's first record to the kill. */
const LEAST_MS = 0;
const MOST_MS = 700;
const START_MS = 60_000;

export interface BrowserKillPlan {
  readonly rounds: number;
  readonly seed: number;
  readonly told?: (round: number) => void;
}

export interface BrowserKillReport extends BrowserAccount {
  readonly store: 'browser';
  readonly rounds: number;
  readonly seed: number;
  readonly kills: number;
  /** Starts after which a record got a number that was given before, or not the next: must be 0. */
  readonly outOfTurn: number;
  readonly seconds: number;
}

export async function killBrowserRounds({ rounds, seed, told }: BrowserKillPlan): Promise<BrowserKillReport> {
  const startedAt = performance.now();
  const chance = prng(seed);
  const witness = new Witness();
  const profile = await mkdtemp(join(tmpdir(), 'waxend-browser-kill-'));
  const page = await servePage(new URL('./web/writer-page.ts', import.meta.url));
  try {
    const tablet = { witness, profile, page: `${page.url}?witness=${await witness.listen()}` };
    let kills = 0;
    let outOfTurn = 0;
    let worst: BrowserAccount | null = null;
    // The last start is not for killing in mid-record, but to look at what the last kill has left.
    for (let start = 1; start <= rounds + 1; start += 1) {
      const before = new Map(witness.acknowledged);
      const last = start > rounds;
      const { held, firstSeq } = await killOnce(tablet, last ? null : chance, seed + start);
      const account = accountOfBrowser(before, held);
      if (worst === null || brokenIn(worst).length === 0) worst = account;
      const next = Math.max(0, ...held.records.map(({ seq }) => seq)) + 1;
      // Of two windows the first to be heard need not be the first to record.
      if (last ? firstSeq !== next : firstSeq < next) outOfTurn += 1;
      if (last) break;
      kills += 1;
      told?.(start);
    }
    if (worst === null) throw new Error('there was no round');
    const seconds = Math.round((performance.now() - startedAt) / 1000);
    return { store: 'browser', rounds, seed, kills, ...worst, outOfTurn, seconds };
  } finally {
    witness.close();
    await page.close();
    await rm(profile, { recursive: true, force: true, maxRetries: 10, retryDelay: 200 });
  }
}

/** Everything that must not be, and is. */
export function brokenInReport(report: BrowserKillReport): readonly string[] {
  const { outOfTurn } = report;
  return [...brokenIn(report), ...(outOfTurn > 0 ? [`${outOfTurn} outOfTurn`] : [])];
}

interface KilledTablet {
  readonly witness: Witness;
  readonly profile: string;
  readonly page: string;
}

/**
 * @param chance when to kill; null: one window alone, and as soon as it has made a record
 * @returns what was held at its start, and the lowest number that was given after it
 */
async function killOnce(
  { witness, profile, page }: KilledTablet,
  chance: Prng | null,
  seed: number,
): Promise<{ held: Held; firstSeq: number }> {
  const begins = witness.nextHeld();
  const more = chance === null ? 0 : WINDOWS - 1;
  const browser = openBrowser(profile, `${page}&more=${more}&seed=${seed}`);
  const late = new AbortController();
  const tooLate = pause(START_MS, null, { signal: late.signal }).then((): never => {
    throw new Error('the browser has not recorded in time');
  });
  tooLate.catch(() => undefined);
  try {
    const held = await Promise.race([begins, browser.fell, tooLate]);
    await Promise.race([witness.letGo(), browser.fell, tooLate]);
    if (chance !== null) await pause(chance.between(LEAST_MS, MOST_MS));
    return { held, firstSeq: witness.firstSeq };
  } finally {
    late.abort();
    await browser.kill();
  }
}

export function wordsForBrowser({ kills, acknowledged, found, lost, doubled }: BrowserKillReport): string {
  return `browser: ${kills} kills, ${acknowledged} acknowledged, ${found} found, ${lost} lost, ${doubled} doubled`;
}
