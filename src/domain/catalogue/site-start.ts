/** What a site's book begins with, from the catalogue: a seed, not the truth; the site changes it at its desk. */
import type { StageCode } from '../ids.ts';
import { asStageCode } from '../ids.ts';
import { JOBS } from '../record/kinds.ts';
import type { SiteBook, Ways } from '../site-book.ts';
import type { SiteRoutes } from '../site-routes.ts';
import { jobStage } from './jobs.ts';
import { PRECEDENCE } from './precedence.ts';
import { remindersFor } from './reminders.ts';
import type { Stage } from './stages.ts';
import { STAGES } from './stages.ts';

/** The stages that the site does, as its book keeps them. */
export function siteStages(stages: readonly Stage[]): SiteBook['stages'] {
  return stages.map(({ code, name, plain, how, settleMinutes }) => ({
    code,
    name,
    plain,
    machine: how === 'machine',
    reminds: remindersFor(code).length > 0,
    settles: settleMinutes === null ? null : { ...settleMinutes },
  }));
}

/**
 * The catalogue's routes as a first version. Stages that the site does not do are kept as never done, so that they
 * hand on what they need.
 */
export function siteRoutes(stages: readonly Stage[]): SiteRoutes {
  const done = new Set(stages.map(({ code }) => code));
  return {
    version: 1,
    since: 0,
    steps: STAGES.map(({ code: stage }) => ({
      stage,
      need: JOBS.map((job) => (done.has(stage) ? jobStage(job, stage).need : ('never' as const))),
    })),
    needs: PRECEDENCE.map(({ stage, needs, kind }) => ({ stage, needs, kind })),
  };
}

/** Common practice, no source: matched by eye at trimming, staining and the check, and never boxed apart. */
export function siteWays(stages: readonly Stage[]): Ways {
  const done = new Set<string>(stages.map(({ code }) => code));
  const one = (code: string): StageCode | null => (done.has(code) ? asStageCode(code) : null);
  const those = (codes: string) =>
    codes
      .split(' ')
      .filter((code) => done.has(code))
      .map(asStageCode);
  return {
    receive: one('REC'),
    inspect: one('TRI'),
    owner: one('OWN'),
    lastFrom: one('LAS'),
    lastTo: one('SLP'),
    check: one('CHK'),
    box: one('BOX'),
    together: those('ETR EST BST CHK BOX'),
    colour: those('EST BST UCL'),
  };
}
