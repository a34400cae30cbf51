/** `test` with one full site for a whole file of tests that do each other no harm, and pairs that have come so far. */
import type { PairId, StageCode } from '../../src/domain/ids.ts';
import type { Job } from '../../src/domain/record/kinds.ts';
import { test as base } from './bench-test.ts';
import type { Told } from './builders.ts';
import { fullSite, type Site } from './site.ts';
import { APPRENTICE, addHands, type Hand } from './whole-way-hands.ts';
import { ROUTES } from './whole-way-routes.ts';

export const STITCHER = 'Jonas Feld';
/** Lets things through, and runs no machine herself: a hand who is released could answer for the work instead. */
const SUPERVISOR = 'Ruth Adeyemi';

export interface Full {
  readonly site: Site;
  readonly stitcher: Hand;
  /** Released for no machine. */
  readonly apprentice: Hand;
  /** A pair whose stages before this one are recorded as done, at the desk, by somebody who was told so. */
  readonly pairBefore: (job: Job, stage: StageCode, told?: Told<'pair-logged'>) => Promise<PairId>;
}

export const test = base.extend<object, { full: Full }>({
  full: [
    // biome-ignore lint/correctness/noEmptyPattern: Playwright reads the names of what a fixture needs from here.
    async ({}, use) => {
      const site = await fullSite();
      const hands = await addHands(site, [STITCHER, APPRENTICE], [APPRENTICE, SUPERVISOR]);
      const hand = (name: string): Hand => {
        const found = hands.get(name);
        if (found === undefined) throw new Error(`${name} is not in the book`);
        return found;
      };
      await site.start();
      await use({
        site,
        stitcher: hand(STITCHER),
        apprentice: hand(APPRENTICE),
        pairBefore: (job, stage, told) => pairBefore(site, job, stage, told),
      });
      await site.close();
    },
    { scope: 'worker', timeout: 60_000 },
  ],
});

async function pairBefore(
  site: Site,
  job: Job,
  stage: StageCode,
  told: Told<'pair-logged'> = {},
): Promise<PairId> {
  const pair = await site.logPairAs({ job, yes: 'given', ...told });
  const before = ROUTES[job].slice(1, ROUTES[job].indexOf(stage));
  const done = before.map((one) =>
    site.office.write('done-unscanned', { pair, stage: one, why: 'done before this test' }),
  );
  if (done.length > 0) await site.append(...done);
  return pair;
}
