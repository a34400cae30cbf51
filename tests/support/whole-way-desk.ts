/** The office's desk in a browser of its own: it logs a pair, answers for owners, and says where a pair is. */
import { expect, type Page } from 'playwright/test';
import { asPairId, type PairId } from '../../src/domain/ids.ts';
import type { Job, OwnerAnswer } from '../../src/domain/record/kinds.ts';
import { deskHead, pairShown, seat } from '../../src/words/desk.ts';
import { logging } from '../../src/words/logging.ts';
import { jobNames } from '../../src/words/names.ts';
import { whereWords } from '../../src/words/whereabouts.ts';
import { actNames, actWords } from '../../src/words/whereabouts-acts.ts';
import type { Site } from './site.ts';
import type { TabletRack } from './tablet-rack.ts';
import { recordsOfPair } from './whole-way-records.ts';

export interface Entered {
  readonly ownerRef: string;
  readonly style: string;
  readonly last: string;
  readonly size: string;
  readonly fitting: string;
  readonly job: Job;
  /** Of the usual things. */
  readonly withPair: readonly string[];
}

export class OfficeDesk {
  readonly page: Page;
  /** How often the page was asked where a pair is. */
  looked = 0;

  readonly #file: string;

  private constructor(page: Page, file: string) {
    this.page = page;
    this.#file = file;
  }

  /** @param who a supervisor or office hand of the site's book */
  static async open(site: Site, rack: TabletRack, who: string): Promise<OfficeDesk> {
    const page = await rack.openDesk(site, 'Office desk');
    await page.getByRole('button', { name: seat.who, exact: true }).click();
    await page.getByRole('button', { name: who, exact: true }).click();
    await expect(page.getByRole('button', { name: seat.at(who), exact: true })).toBeVisible();
    return new OfficeDesk(page, site.ledgerFile);
  }

  /** Logs a pair whose owner is still to be asked, and gives its new number. */
  async log({ job, withPair, ...lines }: Entered): Promise<PairId> {
    const { page } = this;
    await page.getByRole('link', { name: deskHead.names.log, exact: true }).click();
    for (const [field, text] of Object.entries(lines)) await page.locator(`#log-${field}`).fill(text);
    for (const thing of withPair) await page.getByLabel(thing, { exact: true }).check();
    const oneOf = (group: string, label: string) =>
      page.getByRole('group', { name: group, exact: true }).getByLabel(label).check();
    await oneOf(logging.job, jobNames[job]);
    await oneOf(logging.yes, logging.yesAnswers['to-ask']);
    await page.getByRole('button', { name: logging.save, exact: true }).click();
    const number = (await page.locator('.log-number').textContent()) ?? '';
    return asPairId(number.replaceAll(' ', ''));
  }

  /** What the owner says, with another kind of job where told. */
  async answer(pair: PairId, answer: OwnerAnswer, job: Job | null = null): Promise<void> {
    const { page } = this;
    await this.#open(pair);
    await page.getByRole('button', { name: actNames.answer, exact: true }).click();
    const form = page.locator('form.pair-form');
    await form.getByLabel(actWords.answers[answer], { exact: true }).check();
    if (answer !== 'stop') {
      if (job !== null) await form.getByLabel(actWords.job, { exact: true }).selectOption(job);
      await form.getByLabel(actWords.promised, { exact: true }).fill('2031-03-14');
    }
    await form.getByRole('button', { name: actWords.record, exact: true }).click();
    await expect(page.locator('.pair-made')).toHaveText(actWords.made('answer'));
    const last = async () => (await recordsOfPair(this.#file, pair)).at(-1)?.kind;
    await expect.poll(last, { intervals: [50] }).toBe('owner-answered');
  }

  /** The page about the pair must say each of these. */
  async expectSays(pair: PairId, ...texts: readonly string[]): Promise<void> {
    await this.#open(pair);
    const page = this.page.locator('article.pair');
    for (const text of texts) await expect(page).toContainText(text);
    this.looked += 1;
  }

  async #open(pair: PairId): Promise<void> {
    const { page } = this;
    await page.getByRole('link', { name: deskHead.names.where, exact: true }).click();
    await page.getByLabel(whereWords.search).fill(pair);
    await page.getByLabel(whereWords.search).press('Enter');
    await expect(page.locator('#pair-number')).toHaveText(pairShown(pair));
  }
}
