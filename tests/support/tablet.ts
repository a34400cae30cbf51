/** A tablet in real Chromium, and the hands that use it: a wedge scanner, a finger, a paste. */
import type { BrowserContext, CDPSession, Locator, Page } from 'playwright/test';
import { expect } from 'playwright/test';
import { actions, bench, keptHere } from '../../src/words/bench.ts';
import type { Key } from './wedge-keys.ts';
import { keysOf, sendKeys } from './wedge-keys.ts';

/** How long the scanner does not take one code twice. */
const REPEAT_PAUSE_MS = 2_000;

export class Tablet {
  readonly page: Page;
  readonly #session: CDPSession;
  /** When each code was last scanned. */
  readonly #scannedAt = new Map<string, number>();
  scans = 0;
  /** When the last scan's keys had all been sent, by this machine's clock. */
  scannedAt = 0;

  constructor(page: Page, session: CDPSession) {
    this.page = page;
    this.#session = session;
  }

  /** The main line of the bar. */
  get says(): Locator {
    return this.page.locator('.bar .says');
  }

  get next(): Locator {
    return this.page.locator('.bar .next');
  }

  /** Who is on, in the header. */
  get who(): Locator {
    return this.page.locator('.head .who');
  }

  get kept(): Locator {
    return this.page.locator('.head .kept');
  }

  get openHere(): Locator {
    return this.page.locator('.open-list li');
  }

  get context(): BrowserContext {
    return this.page.context();
  }

  button(name: string): Locator {
    return this.page.getByRole('button', { name, exact: true });
  }

  /** Real key events at a scanner's pace, with Enter; the same code again only after the scanner's pause. */
  async wedge(text: string): Promise<void> {
    const rest = (this.#scannedAt.get(text) ?? 0) + REPEAT_PAUSE_MS + 100 - Date.now();
    if (rest > 0) await this.page.waitForTimeout(rest);
    await this.wedgeAgainAtOnce(text);
  }

  /** As `wedge`, but also when the same code has just been scanned. */
  async wedgeAgainAtOnce(text: string): Promise<void> {
    await this.keys(keysOf(text));
    this.scannedAt = Date.now();
    this.#scannedAt.set(text, this.scannedAt);
    this.scans += 1;
  }

  /** A run of keys begins afresh only after a pause, as it does between two pulls of the trigger. */
  async keys(keys: readonly Key[]): Promise<void> {
    await this.page.waitForTimeout(200);
    await sendKeys(this.#session, keys);
  }

  async tap(name: string): Promise<void> {
    await this.button(name).tap();
  }

  /** Counts what a finger does from now on, in the page itself; asked later, gives the count. */
  async countTouches(): Promise<() => Promise<number>> {
    const counter = await this.page.evaluateHandle(() => {
      const touches = { count: 0 };
      window.addEventListener('pointerdown', () => (touches.count += 1), { capture: true });
      return touches;
    });
    return () => counter.evaluate(({ count }) => count);
  }

  async typeOnKeypad(text: string): Promise<void> {
    await this.turnKeypad(actions.typeIt);
    await this.typeKeys(text);
    await this.page.locator('.keypad').getByRole('button', { name: actions.enter, exact: true }).tap();
  }

  /** The button under the camera's picture, which opens and closes the keypad. */
  async turnKeypad(name: string): Promise<void> {
    await this.page.locator('.ways').getByRole('button', { name, exact: true }).tap();
  }

  /** On the keypad that stands open, without entering it. */
  async typeKeys(text: string): Promise<void> {
    const keys = this.page.locator('.keypad');
    for (const character of text) await keys.getByRole('button', { name: character, exact: true }).tap();
  }

  /** Through the clipboard and Ctrl+V. */
  async paste(text: string): Promise<void> {
    await this.page.evaluate((copied) => navigator.clipboard.writeText(copied), text);
    await this.page.waitForTimeout(200);
    await this.page.keyboard.press('Control+V');
  }

  /** Badges on, and waits until the bar says so. */
  async badgeOn(badge: string, name: string): Promise<void> {
    await this.wedge(badge);
    await expect(this.says).toHaveText(bench.badgedOn(name).says);
  }

  async expectClockedIn(within?: { readonly timeout: number }): Promise<void> {
    await expect(this.says).toHaveText(CLOCKED_IN, within);
  }

  async expectClockedOut(within?: { readonly timeout: number }): Promise<void> {
    await expect(this.says).toHaveText(CLOCKED_OUT, within);
  }

  /** Waits until no record waits for the server: in the store first, since the header follows it a moment later. */
  async allSent(timeout = 15_000): Promise<void> {
    await expect.poll(() => this.page.evaluate(countWaiting), { timeout }).toBe(0);
    await expect(this.kept).toContainText(keptHere(0, null), { timeout });
  }

  /** Waits until the app is kept whole on the tablet, as it is a moment after the first visit. */
  async installed(): Promise<void> {
    await this.page.evaluate(async () => {
      const { active } = await navigator.serviceWorker.ready;
      if (active?.state !== 'activated')
        await new Promise((resolve) => active?.addEventListener('statechange', resolve));
    });
  }
}

/** Runs in the page. */
function countWaiting(): Promise<number> {
  return new Promise((resolve, reject) => {
    const opening = indexedDB.open('waxend');
    opening.onerror = () => reject(opening.error);
    opening.onsuccess = () => {
      const counting = opening.result.transaction('outbox').objectStore('outbox').count();
      counting.onsuccess = () => resolve(counting.result);
      counting.onerror = () => reject(counting.error);
      opening.result.close();
    };
  });
}

/** The bar's line with any time of day. */
const CLOCKED_IN = lineWithTime(bench.clockedIn);
const CLOCKED_OUT = lineWithTime((time) => bench.clockedOut(time, ''));

function lineWithTime(line: (time: string) => { readonly says: string }): RegExp {
  return new RegExp(`^${line('~').says.replace('~', '\\d\\d:\\d\\d')}$`);
}
