/** A tablet in real Chromium, and the hands that use it: a wedge scanner, a finger, a paste. */
import type { BrowserContext, CDPSession, Locator, Page } from 'playwright/test';
import { expect } from 'playwright/test';
import { placeOf } from '../../src/domain/cursor.ts';
import type { Cursor, PairId } from '../../src/domain/ids.ts';
import { actions, bench, keptHere } from '../../src/words/bench.ts';
import type { Key } from './wedge-keys.ts';
import { keysOf, sendKeys } from './wedge-keys.ts';

/** How long the scanner does not take one code twice. */
const REPEAT_PAUSE_MS = 2_000;
/** Between two pulls of a trigger: a run of keys begins afresh only after a pause. */
const TRIGGER_PAUSE_MS = 200;

export class Tablet {
  readonly page: Page;
  readonly #session: CDPSession;
  /** When each code was last scanned. */
  readonly #scannedAt = new Map<string, number>();
  #keysAt = 0;
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
   */
  async untilCard(pair: PairId, line: RegExp, timeoutMs = 10_000): Promise<string> {
    const says = await this.page.evaluate(lineOnCard, { pair: pair as string, like: line.source, timeoutMs });
    expect(says, `on the card of ${pair}`).toMatch(line);
    return says;
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
  async choose(name: string, file: Picked): Promise<void> {
    const chooser = this.page.waitForEvent('filechooser');
    await this.tap(name);
    await (await chooser).setFiles(file);
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

interface LineOnCard {
  readonly pair: string;
  readonly like: string;
  readonly timeoutMs: number;
}

/** Runs in the page: the bar's line once it is as wanted, or as it stands when the time is up. */
function lineOnCard({ pair, like, timeoutMs }: LineOnCard): Promise<string> {
  const until = performance.now() + timeoutMs;
  const wanted = new RegExp(like);
  return new Promise((resolve) => {
    const look = () => {
      const card = document.querySelector('h2.code')?.textContent ?? '';
      const says = document.querySelector('.bar .says')?.textContent ?? '';
      if (card === pair && wanted.test(says)) resolve(says);
      else if (performance.now() > until) resolve(`${says} (card ${card})`);
      else setTimeout(look, 15);
    };
    look();
  });
}

/** Runs in the page: a place of the zone that no other lies over, as near its middle as there is one. */
function pointOnTop(zone: Element): { readonly x: number; readonly y: number } {
  const { left, top, width, height } = zone.getBoundingClientRect();
  const steps = [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9, 0.05, 0.95];
  for (const down of steps) {
    for (const along of steps) {
      const [x, y] = [left + width * along, top + height * down];
      if (document.elementFromPoint(x, y) === zone) return { x, y };
    }
  }
  throw new Error('no finger can reach this zone');
}

/** Runs in the page. */
function readCursor(): Promise<unknown> {
  return new Promise((resolve, reject) => {
    const opening = indexedDB.open('waxend');
    opening.onerror = () => reject(opening.error);
    opening.onsuccess = () => {
      const reading = opening.result.transaction('settings').objectStore('settings').get('cursor');
      reading.onsuccess = () => resolve(reading.result ?? '');
      reading.onerror = () => reject(reading.error);
      opening.result.close();
    };
  });
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
