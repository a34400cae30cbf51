/** The office logs pairs in while fewer than the workshop's measure are on the line. */
import type { Making } from '../src/domain/drafts.ts';
import type { OperativeId, PairId } from '../src/domain/ids.ts';
import { type Instant, MINUTE_MS } from '../src/domain/instant.ts';
import type { Draft } from '../src/domain/record/kinds.ts';
import { envelopeOf } from './notes.ts';
import { drawPair, type PairOnLine } from './pairs.ts';
import type { Tablet } from './tablets.ts';
import type { Shop } from './work.ts';

export interface OfficeSetup {
  readonly desk: Tablet;
  readonly clerks: readonly OperativeId[];
  readonly openPairs: number;
  readonly issue: () => PairId;
}

export class Office {
  readonly pairs: PairOnLine[] = [];
  readonly #shop: Shop;
  readonly #setup: OfficeSetup;
  #open: PairOnLine[] = [];
  /** When it next looks. */
  at: Instant;

  constructor(shop: Shop, setup: OfficeSetup, from: Instant) {
    this.#shop = shop;
    this.#setup = setup;
    this.at = from;
  }

  act(): void {
    const { random } = this.#shop;
    const now = this.at;
    this.at = this.#opensAt(now + random.between(6, 12) * MINUTE_MS);
    this.#open = this.#open.filter(({ closedAt }) => closedAt === null || closedAt > now);
    if (this.#open.length >= this.#setup.openPairs) return;
    this.#log(now);
  }

  #log(at: Instant): void {
    const { random, scribe, queues } = this.#shop;
    const promise = (workingDays: number) => this.#promise(at, workingDays);
    const pair = drawPair({ id: this.#setup.issue(), at, promise }, random);
    scribe.write(this.#setup.desk, random.pick(this.#setup.clerks), at, (making) => pairLogged(making, pair));
    this.pairs.push(pair);
    this.#open.push(pair);
    queues.admit(pair);
  }

  #opensAt(at: Instant): Instant {
    const day = this.#shop.days.find(({ office }) => at < office.to);
    if (day === undefined) return Number.POSITIVE_INFINITY;
    return Math.max(at, day.office.from);
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
  const { id, job, ownerRef, style, last, size, fitting, promised, withPair } = pair;
  return {
    ...envelopeOf(making),
    kind: 'pair-logged',
    pair: id,
    job,
    ownerRef,
    style,
    last,
    size,
    fitting,
    promised,
    withPair,
  };
}
