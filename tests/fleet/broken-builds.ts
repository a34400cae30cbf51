/**
 * Builds that are broken on purpose, one promise each. A simulator that does not find every one of them within its
 * seeds proves nothing about the build that is sound.
 */
import { AT_THE_SERVER } from './broken-at-the-server.ts';
import type { BrokenBuild } from './broken-build.ts';
import { IN_THE_STORE } from './broken-in-the-store.ts';
import { ON_THE_WAY } from './broken-on-the-way.ts';
import { drawPlan } from './draw-plan.ts';
import { type Ground, runPlan } from './run-plan.ts';

export const BROKEN_BUILDS: readonly BrokenBuild[] = [...ON_THE_WAY, ...IN_THE_STORE, ...AT_THE_SERVER];

/** Each is to be caught within so many seeds. */
export const CAUGHT_WITHIN = 1_000;

export interface Caught {
  readonly seed: number;
  readonly violation: string;
}

/** The first seed that catches the build, or null. */
export async function firstCatch(
  broken: BrokenBuild,
  ground: Ground,
  seeds = CAUGHT_WITHIN,
): Promise<Caught | null> {
  for (let seed = 1; seed <= seeds; seed += 1) {
    const { violations } = await runPlan(drawPlan(seed), ground, broken);
    const [violation] = violations;
    if (violation !== undefined) return { seed, violation };
  }
  return null;
}
