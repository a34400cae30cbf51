/** A tablet in real Chromium, and the hands that use it: a wedge scanner, a finger, a paste. */
import type { BrowserContext, CDPSession, JSHandle, Locator, Page } from 'playwright/test';
import { expect } from 'playwright/test';
import { placeOf } from '../../src/domain/cursor.ts';
import type { Cursor, PairId } from '../../src/domain/ids.ts';
import { actions, bench, keptHere } from '../../src/words/bench.ts';
import { scannerLines } from '../../src/words/scans.ts';
import { countWaiting, lineOnCard, pointOnTop, readCursor } from './tablet-page.ts';
import type { Key } from './wedge-keys.ts';
import { keysOf, sendKeys } from './wedge-keys.ts';

/** How long the scanner does not take one code twice. */
const REPEAT_PAUSE_MS = 2_000;
/** Between two pulls of a trigger: a run of keys begins afresh only after a pause. */
const TRIGGER_PAUSE_MS = 200;
const CARD_MS = 10_000;
const PULLS_MAX = 5;
const FOREIGN = 'That is no code of ours';

export class Tablet {
  readonly page: Page;
  readonly #session: CDPSession;
  /** When each code was last scanned. */
  readonly #scannedAt = new Map<string, number>();
  #keysAt = 0;
  #passed: JSHandle<{ readonly count: number }> | null = null;
  scans = 0;
  /** Pulls of the trigger whose keys a busy machine tore apart: nothing was taken, and they were made again. */
  torn = 0;
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
    const rest = this.restOf(text);
    if (rest > 0) await this.page.waitForTimeout(rest);
    await this.wedgeAgainAtOnce(text);
  }

  /** Milliseconds until the scanner takes this code again. */
  restOf(text: string): number {
    return Math.max(0, (this.#scannedAt.get(text) ?? 0) + REPEAT_PAUSE_MS + 100 - Date.now());
  }

  /** As `wedge`, but also when the same code has just been scanned. */
  async wedgeAgainAtOnce(text: string): Promise<void> {
    await this.keys(keysOf(text));
    this.scannedAt = Date.now();
    this.#scannedAt.set(text, this.scannedAt);
    this.scans += 1;
  }

  /** Keys as a scanner sends them, one pull of its trigger. */
  async keys(keys: readonly Key[]): Promise<void> {
    const rest = this.#keysAt + TRIGGER_PAUSE_MS - Date.now();
    if (rest > 0) await this.page.waitForTimeout(rest);
    await sendKeys(this.#session, keys);
    this.#keysAt = Date.now();
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

  /**
   * Waits until the card of this pair stands there with a line like this in the bar, and gives the line. It looks at
   * every frame: over hundreds of scans Playwright's own waiting, which looks ever less often, would add up.
   * @param elsewhere lines that end the waiting on whatever card they stand
   */
  async untilCard(pair: PairId, line: RegExp, elsewhere: readonly string[] = []): Promise<string> {
    const wanted = { pair: pair as string, like: line.source, elsewhere, timeoutMs: CARD_MS };
    const says = await this.page.evaluate(lineOnCard, wanted);
    if (!elsewhere.includes(says)) expect(says, `on the card of ${pair}`).toMatch(line);
    return says;
  }

  /**
   * Scans, and waits as `untilCard` does. A machine that has much else to do can hold the keys of one pull apart for
   * longer than any scanner would: then they are no scan, and the hand pulls again.
   */
  async wedgeUntil(text: string, pair: PairId, line: RegExp): Promise<string> {
    const passed = await this.#countPassed();
    const misread = [FOREIGN, scannerLines['scanner-cut-short'].says];
    let before = await passed();
    await this.wedge(text);
    for (let pulls = 1; pulls < PULLS_MAX; pulls += 1) {
      const now = await passed();
      // What was said of a pull that was torn before stays on the bar until the next is taken.
      const says = now > before ? null : await this.untilCard(pair, line, pulls === 1 ? misread : []);
      if (says !== null && !misread.includes(says)) return says;
      before = now;
      this.scans -= 1;
      this.torn += 1;
      await this.wedgeAgainAtOnce(text);
    }
    return this.untilCard(pair, line);
  }

  /** Counts the end keys that the bench let pass, having seen no scan before them; one of its own it keeps to itself. */
  async #countPassed(): Promise<() => Promise<number>> {
    this.#passed ??= await this.page.evaluateHandle(() => {
      const passed = { count: 0 };
      window.addEventListener('keydown', ({ key }) => (passed.count += Number(key === 'Enter')), {
        capture: true,
      });
      return passed;
    });
    const counter = this.#passed;
    return () => counter.evaluate(({ count }) => count);
  }

  /** Waits until the server has confirmed everything that was recorded here. */
  async untilSent(timeoutMs = 15_000): Promise<void> {
    await expect
      .poll(() => this.page.evaluate(countWaiting), { timeout: timeoutMs, intervals: [30] })
      .toBe(0);
  }

  /** Waits until this tablet has heard of everything up to this position of the server's ledger. */
  async untilHeard(pos: number, timeoutMs = 15_000): Promise<void> {
    const heard = async () => placeOf((await this.page.evaluate(readCursor)) as Cursor)?.pos ?? 0;
    await expect.poll(heard, { timeout: timeoutMs, intervals: [30] }).toBeGreaterThanOrEqual(pos);
  }

  /** A zone of the drawing, by its name: «left, tread, inside». A finger goes to where it can be seen. */
  async tapZone(name: string): Promise<void> {
    const zone = this.page.locator('.placer-drawing').getByRole('button', { name, exact: true });
    await zone.waitFor();
    const { x, y } = await zone.evaluate(pointOnTop);
    await this.page.touchscreen.tap(x, y);
  }

  /** Taps what opens the chooser, and chooses this file in it. */
  async choose(opens: Locator, file: Picked): Promise<void> {
    const [chooser] = await Promise.all([this.page.waitForEvent('filechooser'), opens.tap()]);
    await chooser.setFiles(file);
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

/** What a file chooser is given: a path, or a file made up on the spot. */
type Picked = string | { readonly name: string; readonly mimeType: string; readonly buffer: Buffer };

/** The bar's line with any time of day. */
const CLOCKED_IN = lineWithTime(bench.clockedIn);
const CLOCKED_OUT = lineWithTime((time) => bench.clockedOut(time, ''));

function lineWithTime(line: (time: string) => { readonly says: string }): RegExp {
  return new RegExp(`^${line('~').says.replace('~', '\\d\\d:\\d\\d')}$`);
}
