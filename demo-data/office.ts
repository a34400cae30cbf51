/** The office logs pairs in while fewer than the workshop's measure are on the line. */
import { draft, type Making } from '../src/domain/drafts.ts';
import type { OperativeId, PairId } from '../src/domain/ids.ts';
import { HOUR_MS, type Instant, MINUTE_MS } from '../src/domain/instant.ts';
import type { Draft } from '../src/domain/record/kinds.ts';
import { Answers } from './owner.ts';
import { drawPair, type PairOnLine } from './pairs.ts';
import { officeOpenAt, type Shop } from './shop.ts';
import type { Tablet } from './tablets.ts';
import { ROUTES } from './workshop.ts';

/** Of the logged pairs: a detail is put right later, or the ticket printed again. */
const SHARE_AMENDED = 0.04;
const SHARE_REPRINTED = 0.015;

export interface OfficeSetup {
  readonly desk: Tablet;
  readonly clerks: readonly OperativeId[];
  readonly openPairs: number;
  readonly issue: () => PairId;
  readonly shelf: string;
}

export class Office {
  readonly pairs: PairOnLine[] = [];
  readonly #shop: Shop;
  readonly #setup: OfficeSetup;
  readonly #answers: Answers;
  #open: PairOnLine[] = [];
  /** When it next looks. */
  at: Instant;

  constructor(shop: Shop, setup: OfficeSetup, from: Instant) {
    this.#shop = shop;
    this.#setup = setup;
    this.#answers = new Answers(shop);
    this.at = from;
  }

  act(): void {
    const { random } = this.#shop;
    const now = this.at;
    this.at = officeOpenAt(this.#shop, now + random.between(6, 12) * MINUTE_MS);
    this.#answers.writeDown(now);
    this.#open = this.#open.filter(({ closedAt }) => closedAt === null || closedAt > now);
    if (this.#open.length >= this.#setup.openPairs) return;
    this.#log(now);
  }

  #log(at: Instant): void {
    const { random, scribe, queues } = this.#shop;
    const promise = (workingDays: number) => this.#promise(at, workingDays);
    const pair = drawPair({ id: this.#setup.issue(), at, shelf: this.#setup.shelf, promise }, random);
    const clerk = random.pick(this.#setup.clerks);
    const { id } = scribe.write(this.#setup.desk, clerk, at, (making) => pairLogged(making, pair));
    const later = officeOpenAt(this.#shop, at + random.between(1, 30) * HOUR_MS);
    if (random.chance(SHARE_AMENDED)) {
      const said = {
        pair: pair.id,
        after: id,
        changes: { asked: 'Owner rang: no hurry' },
        why: 'Owner rang',
      };
      scribe.say(this.#setup.desk, clerk, later, 'pair-amended', said);
    }
    if (random.chance(SHARE_REPRINTED)) {
      scribe.say(this.#setup.desk, clerk, later, 'ticket-reprinted', { pair: pair.id, why: 'Soaked' });
    }
    this.pairs.push(pair);
    this.#answers.expect(pair);
    this.#open.push(pair);
    queues.admit(pair);
  }

  #promise(at: Instant, workingDays: number): { readonly date: string; readonly end: Instant } {
    const { days } = this.#shop;
    const today = days.findIndex(({ late }) => at < late.to);
    const day = days[today + workingDays] ?? days.at(-1);
    if (day === undefined) throw new Error('the calendar ends too early');
    return { date: day.date, end: day.late.to };
  }
}

export function pairLogged(making: Making, pair: PairOnLine): Draft<'pair-logged'> {
  const { id, loggedJob: job, ownerRef, style, last, size, fitting, promised, maker, withPair } = pair;
  const { wish: asked, condition, loggedYes: yes } = pair;
  const details = { job, ownerRef, style, last, size, fitting, promised, maker, asked };
  const route = ROUTES.version;
  return draft(making, 'pair-logged', { pair: id, ...details, withPair, condition, route, yes });
}
