/**
 * The fleet simulator from the command line:
 *
 *     npm run fleet -- --seeds 1000 --from 1    runs so many seeds, and tells the story of one that fails
 *     npm run fleet -- --seed 4711              runs one seed and tells its story; with --trace, every step of it
 *     npm run fleet -- --mutations              shows by broken builds that each promise can be found broken
 *     npm run fleet -- --long --seeds 3         with an outbox of 50,000 records
 */
import { parseArgs } from 'node:util';
import { BROKEN_BUILDS, CAUGHT_WITHIN, firstCatch } from './broken-builds.ts';
import { drawLongPlan, drawPlan } from './draw-plan.ts';
import { type Ground, type Outcome, runPlan } from './run-plan.ts';
import { shrunk } from './shrink.ts';
import { Tally } from './tally.ts';
import { makeTemplate, newFolder } from './template.ts';

const LONG_BACKLOG = 50_000;
/** More stories than this nobody reads. */
const STORIES_MAX = 3;

const { values } = parseArgs({
  options: {
    seeds: { type: 'string', default: '100' },
    from: { type: 'string', default: '1' },
    seed: { type: 'string' },
    trace: { type: 'boolean', default: false },
    mutations: { type: 'boolean', default: false },
    long: { type: 'boolean', default: false },
  },
});

const folder = newFolder();
try {
  const ground: Ground = { template: await makeTemplate(), folder: folder.path };
  const sound = values.mutations ? await findBroken(ground) : await runSeeds(ground);
  process.exitCode = sound ? 0 : 1;
} finally {
  folder.remove();
}

function planOf(seed: number) {
  return values.long ? drawLongPlan(seed, LONG_BACKLOG) : drawPlan(seed);
}

async function runSeeds(ground: Ground): Promise<boolean> {
  const first = Number(values.seed ?? values.from);
  const count = values.seed === undefined ? Number(values.seeds) : 1;
  const tally = new Tally();
  let stories = 0;
  for (let seed = first; seed < first + count; seed += 1) {
    const outcome = await runPlan(planOf(seed), ground);
    tally.add(outcome);
    if (values.seed !== undefined && (values.trace || outcome.violations.length === 0)) tell(outcome);
    if (outcome.violations.length > 0) {
      stories += 1;
      if (stories <= STORIES_MAX) tell(await shrunk(outcome.plan, ground));
    }
    if ((seed - first + 1) % 1_000 === 0) console.log(tally.line);
  }
  console.log(tally.text);
  return tally.violating.length === 0;
}

function tell({ plan, story, violations }: Outcome): void {
  if (violations.length > 0)
    console.log(`\nSeed ${plan.seed} breaks a promise. Its story, as short as it still does:`);
  console.log(values.trace ? story.trace : story.told.join('\n'));
  for (const violation of violations) console.log(`  ✗ ${violation}`);
  if (violations.length > 0)
    console.log(`Again: npm run fleet -- --seed ${plan.seed}${values.long ? ' --long' : ''}\n`);
}

async function findBroken(ground: Ground): Promise<boolean> {
  let missed = 0;
  for (const broken of BROKEN_BUILDS) {
    const caught = await firstCatch(broken, ground);
    if (caught === null) missed += 1;
    const by = caught === null ? `not caught in ${CAUGHT_WITHIN} seeds` : `seed ${caught.seed}`;
    console.log(
      `${by.padEnd(12)} ${broken.name}${caught === null ? '' : `  (${caught.violation.slice(0, 120)})`}`,
    );
  }
  console.log(`${BROKEN_BUILDS.length - missed} of ${BROKEN_BUILDS.length} broken builds caught`);
  return missed === 0;
}
