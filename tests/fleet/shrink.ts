/** Makes a failing story shorter: leaves out whatever it fails without, until nothing more can be left out. */
import { type BrokenBuild, SOUND } from './broken-build.ts';
import type { Plan } from './plan.ts';
import { type Ground, type Outcome, runPlan } from './run-plan.ts';

/** So many runs at most are spent on one story. */
const RUNS_MAX = 400;

/** @returns the shortest failing run that was found; the run of the plan itself where it does not fail at all */
export async function shrunk(plan: Plan, ground: Ground, broken: BrokenBuild = SOUND): Promise<Outcome> {
  let best = await runPlan(plan, ground, broken);
  let runs = 1;
  if (best.violations.length === 0) return best;
  const takes = async (shorter: Plan): Promise<boolean> => {
    if (runs >= RUNS_MAX) return false;
    runs += 1;
    const outcome = await runPlan(shorter, ground, broken);
    if (outcome.violations.length === 0) return false;
    best = outcome;
    return true;
  };
  let before = '';
  while (before !== JSON.stringify(best.plan)) {
    before = JSON.stringify(best.plan);
    for (const key of ['mishaps', 'deeds'] as const) await leaveOut(key, () => best.plan, takes);
    for (const simpler of simplerThan(best.plan)) await takes({ ...best.plan, ...simpler });
  }
  return best;
}

/** Halves first, then quarters, down to single ones. */
async function leaveOut(
  key: 'mishaps' | 'deeds',
  plan: () => Plan,
  takes: (shorter: Plan) => Promise<boolean>,
): Promise<void> {
  for (let size = Math.ceil(plan()[key].length / 2); size >= 1; size = size === 1 ? 0 : Math.ceil(size / 2)) {
    for (let from = 0; from < plan()[key].length; ) {
      const rest = plan()[key].filter((_, index) => index < from || index >= from + size);
      if (!(await takes({ ...plan(), [key]: rest }))) from += size;
    }
  }
}

function simplerThan(plan: Plan): readonly Partial<Plan>[] {
  const benches = [...plan.deeds, ...plan.mishaps].map((one) => ('bench' in one ? one.bench : 0));
  return [
    { storeMs: 0 },
    { serverStoreMs: 0 },
    { processes: 1 },
    { packed: false },
    { live: false },
    { benches: Math.max(0, ...benches) + 1 },
  ].filter((simpler) => Object.entries(simpler).some(([key, value]) => plan[key as keyof Plan] !== value));
}
