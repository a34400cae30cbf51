/** A desk in real Chromium, and the hands at its counter: for tests of what the office does. */
import type { Locator, Page } from 'playwright/test';
import { expect } from 'playwright/test';
import { deskHead, seat } from '../../src/words/desk.ts';
import { logging } from '../../src/words/logging.ts';

export class OfficeDesk {
  readonly page: Page;

  constructor(page: Page) {
    this.page = page;
  }

  async goTo(name: keyof typeof deskHead.names): Promise<void> {
    await this.page.getByRole('link', { name: deskHead.names[name], exact: true }).click();
  }

  /** Says who is at the desk by typing a badge as a wedge scanner does. */
  async sit(badge: string, name: string): Promise<void> {
    await this.page.getByRole('button', { name: seat.who }).click();
    await this.page.locator('.seat-panel').getByLabel(seat.badge).pressSequentially(badge);
    await this.page.keyboard.press('Enter');
    await expect(this.page.getByRole('button', { name: seat.at(name) })).toBeVisible();
  }

  async fill(fields: Readonly<Record<string, string>>): Promise<void> {
    for (const [label, text] of Object.entries(fields))
      await this.page.getByLabel(label, { exact: true }).fill(text);
  }

  /** One of the big buttons of a group. */
  async choose(group: string, label: string): Promise<void> {
    await this.page
      .getByRole('group', { name: group, exact: true })
      .getByLabel(label, { exact: true })
      .check();
  }

  button(name: string | RegExp): Locator {
    return this.page.getByRole('button', { name, ...(typeof name === 'string' ? { exact: true } : {}) });
  }

  /** What must be there, and nothing else. */
  async fillTheLeast(ownerRef: string): Promise<void> {
    await this.fill({
      [logging.ownerRef]: ownerRef,
      [logging.style]: 'brown derby',
      [logging.last]: '82',
      [logging.size]: '8',
      [logging.fitting]: 'F',
    });
  }

  /** Logs the pair in and gives its number, as it is shown. */
  async logIn(): Promise<string> {
    await this.button(logging.save).click();
    const number = this.page.locator('.log-number');
    await number.waitFor();
    return ((await number.textContent()) ?? '').replaceAll(' ', '');
  }

  /** Waits until nothing of the desk waits for the server: in its store first, since the head follows it. */
  async allSent(timeout = 20_000): Promise<void> {
    await expect.poll(() => this.page.evaluate(countWaiting), { timeout }).toBe(0);
    await expect(this.page.locator('.desk-kept')).toHaveText(deskHead.allSent, { timeout });
  }

  /** Waits until the app is kept whole on the machine. */
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
    const opening = indexedDB.open('waxend-desk');
    opening.onerror = () => reject(opening.error);
    opening.onsuccess = () => {
      const counting = opening.result.transaction('outbox').objectStore('outbox').count();
      counting.onsuccess = () => resolve(counting.result);
      counting.onerror = () => reject(counting.error);
      opening.result.close();
    };
  });
}
