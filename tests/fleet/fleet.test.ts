/** The fleet simulator within the whole suite: some hundred seeds, and proof that it would find what it looks for. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { BROKEN_BUILDS } from './broken-builds.ts';
import { CAUGHT_BY } from './caught-by.ts';
import { drawPlan } from './draw-plan.ts';
import { type Ground, runPlan } from './run-plan.ts';
import { shrunk } from './shrink.ts';
import { makeTemplate, newFolder } from './template.ts';

const SEEDS = 300;
const SEEDS_A_TEST = 30;
const MINUTES = 10 * 60_000;

const folder = newFolder();
let ground: Ground;
beforeAll(async () => {
  ground = { template: await makeTemplate(), folder: folder.path };
});
afterAll(() => folder.remove());

describe('what was shown as made is held once and unchanged, whatever befalls the fleet', () => {
  const groups = Array.from({ length: SEEDS / SEEDS_A_TEST }, (_, index) => 1 + index * SEEDS_A_TEST);
  test.each(groups)(`${SEEDS_A_TEST} seeds from %i`, { timeout: MINUTES }, async (first) => {
    for (let seed = first; seed < first + SEEDS_A_TEST; seed += 1) {
      const { violations } = await runPlan(drawPlan(seed), ground);
      if (violations.length === 0) continue;
      const { story } = await shrunk(drawPlan(seed), ground);
      expect.fail([`npm run fleet -- --seed ${seed}`, ...violations, ...story.told].join('\n'));
    }
  });
});

describe('the simulator', () => {
  test('takes the very same steps each time that it runs a seed', { timeout: MINUTES }, async () => {
    for (const seed of [2, 7, 19, 121, 1176]) {
      const [one, other] = [await runPlan(drawPlan(seed), ground), await runPlan(drawPlan(seed), ground)];
      expect(one.story.trace.length).toBeGreaterThan(1_000);
      expect(other.story.trace).toBe(one.story.trace);
      expect(other.events).toBe(one.events);
    }
  });

  test.each(BROKEN_BUILDS)('finds out a build in which $name', { timeout: MINUTES }, async (broken) => {
    const { seed, promise } = CAUGHT_BY[broken.name] ?? { seed: 0, promise: '' };
    const { violations } = await runPlan(drawPlan(seed), ground, broken);
    expect(violations.join('\n')).toContain(promise);
    expect((await runPlan(drawPlan(seed), ground)).violations).toEqual([]);
  });

  test('tells a failing story as short as it still fails', { timeout: MINUTES }, async () => {
    const [broken] = BROKEN_BUILDS;
    const plan = drawPlan(CAUGHT_BY[broken?.name ?? '']?.seed ?? 0);
    const { plan: shorter, violations } = await shrunk(plan, ground, broken);
    expect(violations).not.toEqual([]);
    expect(shorter.deeds.length).toBeLessThanOrEqual(2);
    expect(shorter.mishaps.length).toBeLessThan(plan.mishaps.length);
  });
});
