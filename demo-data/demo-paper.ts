/** The sheet to print for a first try: badges, set-up cards, and tickets of pairs that are due at these benches. */
import { JOBS } from '../src/domain/catalogue/jobs.ts';
import type { PairId } from '../src/domain/ids.ts';
import { DAY_MS } from '../src/domain/instant.ts';
import { type PaperPage, paperPage } from '../src/server/paper/sheet.ts';
import { type DuePair, dueAt, pairStates } from './due.ts';
import type { Workshop } from './records.ts';
import type { DemoBench } from './staff.ts';
import { SITE_NAME, SITE_STAGES, TIGHT_STAGE, TIME_ZONE } from './workshop.ts';

const BENCH_CARDS = 4;
const BADGES = 6;
const TICKETS = 24;
/** How long the demo's set-up codes can be used. */
export const SETUP_VALID_MS = 30 * DAY_MS;

export interface DemoChoice {
  /** Four benches and the office's desk. */
  readonly benches: readonly DemoBench[];
  readonly due: readonly (DuePair & { readonly bench: DemoBench })[];
}

/** The sole stitching and the three other benches with most to do, and the pairs that are due there. */
export function chooseForDemo(workshop: Workshop): DemoChoice {
  const states = pairStates(workshop);
  const queues = workshop.benches
    .filter(({ place }) => place === 'bench')
    .map((bench) => ({ bench, due: dueAt(workshop, states, bench) }))
    .sort((a, b) => first(b.bench) - first(a.bench) || b.due.length - a.due.length)
    .slice(0, BENCH_CARDS);
  const desk = workshop.benches.filter(({ place }) => place === 'desk').slice(0, 1);
  return { benches: [...queues.map(({ bench }) => bench), ...desk], due: share(queues) };
}

/** The printable page as HTML. */
export function demoPaper(workshop: Workshop): string {
  return paperPage(demoPaperOf(workshop));
}

export function demoPaperOf(workshop: Workshop): PaperPage {
  const { benches, due } = chooseForDemo(workshop);
  const nameOf = new Map(SITE_STAGES.map(({ code, name }) => [code, name]));
  const validUntil = new Date(workshop.endsAt + SETUP_VALID_MS).toISOString();
  const hands = workshop.badges.filter(({ role }) => role === 'hand').slice(0, BADGES);
  return {
    title: SITE_NAME,
    badges: hands.map(({ token, name }) => ({ token, name, site: SITE_NAME })),
    benches: benches.map(({ setupToken: token, name, place, stages }) => ({
      token,
      name,
      stages: place === 'desk' ? ['Desk'] : stages.map((code) => nameOf.get(code) ?? code),
      validUntil,
      zone: TIME_ZONE,
    })),
    tickets: due.map(({ pair, logged }) => ({
      pair,
      job: JOBS.find(({ code }) => code === logged.job)?.name,
      last: logged.last,
      size: logged.size,
      fitting: logged.fitting,
      promised: logged.promised,
      withThePair: logged.withPair,
    })),
  };
}

function first({ stages }: DemoBench): number {
  return stages.includes(TIGHT_STAGE) ? 1 : 0;
}

/** In turn one from each queue, until there are enough. A pair with two open fronts has one ticket. */
function share(queues: readonly { readonly bench: DemoBench; readonly due: readonly DuePair[] }[]) {
  const longest = Math.max(0, ...queues.map(({ due }) => due.length));
  const taken = new Map<PairId, DuePair & { readonly bench: DemoBench }>();
  for (let turn = 0; turn < longest && taken.size < TICKETS; turn += 1) {
    for (const { bench, due } of queues) {
      const pair = due[turn];
      if (pair !== undefined && !taken.has(pair.pair) && taken.size < TICKETS)
        taken.set(pair.pair, { ...pair, bench });
    }
  }
  return [...taken.values()];
}
