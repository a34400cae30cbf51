/** The owner's yes in the simulation: asked for by the office, given or not, and asked for again when more is found. */

import { DAY_MS, HOUR_MS, type Instant, MINUTE_MS } from '../src/domain/instant.ts';
import type { Job } from '../src/domain/record/kinds.ts';
import { lastOf } from '../src/domain/way.ts';
import { type NoteOnPair, type PairOnLine, takeStages } from './pairs.ts';
import { stagesAlways } from './route.ts';
import { officeOpenAt, SECOND_MS, type Shop } from './shop.ts';
import { INSPECTION, OWNERS_YES } from './workshop.ts';

/** The next smaller job, where the owner wants to pay less. */
const SMALLER: Partial<Record<Job, Job>> = { FB: 'RS', RS: 'LG', LG: 'HF' };

/** After a stop the owner comes for the shoes some days later. */
const DAYS_TO_FETCH = 3;

/** The pairs whose owners are still to be asked, and when each will have answered. */
export class Answers {
  readonly #shop: Shop;
  #waiting: { readonly pair: PairOnLine; at: Instant | null }[] = [];

  constructor(shop: Shop) {
    this.#shop = shop;
  }

  expect(pair: PairOnLine): void {
    if (pair.yes === 'to-ask') this.#waiting.push({ pair, at: null });
  }

  /** Writes down the answers that have come by now. */
  writeDown(now: Instant): void {
    const { random } = this.#shop;
    this.#waiting = this.#waiting.filter(({ pair }) => pair.yes === 'to-ask');
    for (const one of this.#waiting) {
      const inspected = one.pair.done.get(INSPECTION);
      if (inspected === undefined || inspected.at > now) continue;
      // Most owners answer the same day; some take days.
      one.at ??= now + random.between(0.3, 5) * HOUR_MS * (random.chance(0.12) ? 14 : 1);
      if (one.at <= now && one.pair.heldUntil <= now) answer(this.#shop, one.pair, now);
    }
  }
}

function answer(shop: Shop, pair: PairOnLine, at: Instant): void {
  const { random, scribe, office, clerks, queues } = shop;
  const said = random.weighted([
    ['go-on', 178],
    ['go-on-cheaper', 14],
    ['stop', 7],
  ] as const);
  const cheaper = said === 'go-on-cheaper' ? SMALLER[pair.job] : undefined;
  if (cheaper !== undefined) {
    pair.job = cheaper;
    takeStages(pair, [...stagesAlways(cheaper), ...pair.optional]);
  }
  scribe.say(office, random.pick(clerks), at, 'owner-answered', {
    pair: pair.id,
    answer: said === 'go-on-cheaper' && cheaper === undefined ? 'go-on' : said,
    job: pair.job,
    promised: pair.promised,
    words: cheaper === undefined ? null : 'Only what it needs to be worn',
  });
  if (said === 'stop') {
    pair.yes = 'stopped';
    pair.heldUntil = Number.POSITIVE_INFINITY;
    handBack(shop, pair, officeOpenAt(shop, at + DAYS_TO_FETCH * DAY_MS));
    return;
  }
  sayYes(pair, at);
  queues.admit(pair);
}

/** The owner comes for what is left of them. */
function handBack({ scribe, office, clerks, lasts }: Shop, pair: PairOnLine, at: Instant): void {
  const clerk = clerks[0] ?? null;
  if (pair.hasLast) {
    scribe.say(office, clerk, at, 'last-freed', { pair: pair.id, last: lastOf(pair) });
    lasts.free(pair, at);
  }
  scribe.say(office, clerk, at + 20 * SECOND_MS, 'handed-back', {
    pair: pair.id,
    why: 'Fetched by the owner',
  });
  pair.closedAt = at + 20 * SECOND_MS;
}

/**
 * More was found than was agreed on: the office asks the owner, and shortly before the pair goes on has the answer;
 * a supervisor then releases the note.
 * @param pair set aside already, and held until some later hour
 */
export function askAgain(shop: Shop, pair: PairOnLine, note: NoteOnPair, at: Instant): void {
  const { random, scribe, office, clerks, desk, supervisors, queues } = shop;
  const answeredAt = pair.heldUntil - 6 * MINUTE_MS;
  const askedAt = Math.min(officeOpenAt(shop, at + 20 * MINUTE_MS), answeredAt - 10 * MINUTE_MS);
  const clerk = random.pick(clerks);
  scribe.say(office, clerk, askedAt, 'owner-asked', {
    pair: pair.id,
    note: note.id,
    why: `${note.finding.text}: more than was agreed on`,
  });
  scribe.say(office, clerk, answeredAt, 'owner-answered', {
    pair: pair.id,
    answer: 'go-on',
    job: pair.job,
    promised: pair.promised,
    words: null,
  });
  scribe.say(desk, random.pick(supervisors), answeredAt + MINUTE_MS, 'note-released', {
    pair: pair.id,
    note: note.id,
    why: 'Owner agrees to the mending',
  });
  sayYes(pair, answeredAt);
  queues.admit(pair);
}

function sayYes(pair: PairOnLine, at: Instant): void {
  pair.yes = 'given';
  pair.done.set(OWNERS_YES, { at, settledAt: at });
}
