/** The forecasts of one site: reckoned when they are asked for, and kept for some minutes. */
import { Worker } from 'node:worker_threads';
import type { SiteId } from '../../domain/ids.ts';
import { MINUTE_MS } from '../../domain/instant.ts';
import type { ForecastAnswer } from '../../wire/sheet.ts';
import type { ServerLedger } from '../ledger/ledger.ts';
import type { Asked } from './asked.ts';
import { type ForecastWork, forecastSince } from './forecast-work.ts';
import { KeptAnswers } from './kept-answers.ts';

/** What one record changes in a forecast of days can wait so long. */
const KEPT_MS = 5 * MINUTE_MS;
const KEPT = 2;
const THREAD = new URL('./forecast-thread.mjs', import.meta.url);

export class Forecasts {
  readonly #ledger: ServerLedger;
  readonly #site: SiteId;
  readonly #kept = new KeptAnswers<ForecastAnswer>(KEPT);
  /** By epoch and book, what is being reckoned. */
  readonly #underWay = new Map<string, Promise<ForecastAnswer>>();
  #turn: Promise<unknown> = Promise.resolve();

  constructor(ledger: ServerLedger, site: SiteId) {
    this.#ledger = ledger;
    this.#site = site;
  }

  /**
   * With the facts caught up. Whoever asks in the same few minutes is told the same, and so is who asks again before it is
   * reckoned: one that takes longer than it is kept must come to an end too.
   */
  forecast(asked: Asked): Promise<ForecastAnswer> {
    const slot = Math.floor(asked.now / KEPT_MS);
    const { epoch, book } = asked.standing;
    const basis = [epoch, book].join(' ');
    return (
      this.#underWay.get(basis) ??
      this.#kept.of([slot, basis].join(' '), () => this.#inTurn(asked, slot, basis))
    );
  }

  /** One thread at a time: each takes a core, and all that the site has open. */
  #inTurn(asked: Asked, slot: number, basis: string): Promise<ForecastAnswer> {
    const answer = this.#turn.then(async () => inThread(await this.#work(asked, slot)));
    this.#underWay.set(basis, answer);
    this.#turn = answer.catch(() => {}).finally(() => this.#underWay.delete(basis));
    return answer;
  }

  async #work({ standing, book, calendar, now }: Asked, seed: number): Promise<ForecastWork> {
    const { epoch, head } = standing;
    const facts = await this.#ledger.factsBetween(this.#site, forecastSince(now), now + 1);
    const open = (await this.#ledger.pairsHere(this.#site, now, now + 1))
      .filter(({ lastAt }) => lastAt === null)
      .map(({ pair }) => pair);
    const held = await this.#ledger.recordsOfPairs(this.#site, open, head);
    return { book, calendar, epoch, now, seed, facts, open: [...held] };
  }
}

function inThread(work: ForecastWork): Promise<ForecastAnswer> {
  return new Promise((resolve, reject) => {
    // What this process was started with is its own affair: the thread compiles for itself.
    const thread = new Worker(THREAD, { workerData: work, execArgv: [] });
    thread.once('message', (answer: ForecastAnswer) => resolve(answer));
    thread.once('error', reject);
    thread.once('exit', (code) =>
      reject(new Error(`the forecast's thread ended with ${code} and no answer`)),
    );
    thread.unref();
  });
}
