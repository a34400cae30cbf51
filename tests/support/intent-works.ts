/**
 * A small works for the intent table: fourteen stages in five benches, and a site's book with a machine, an
 * apprentice who is not released for it, and every special stage. Small, so that a million combinations can be asked.
 */
import { issueTicket } from '../../src/domain/code.ts';
import {
  asBenchId,
  asOperativeId,
  asStageCode,
  type BenchId,
  type OperativeId,
  type StageCode,
} from '../../src/domain/ids.ts';
import { JOBS } from '../../src/domain/record/kinds.ts';
import type { SiteBook, Ways } from '../../src/domain/site-book.ts';
import type { SiteRoutes, StepNeed } from '../../src/domain/site-routes.ts';
import { DSP, INES, PAIR, RUTH, siteBook, TOMASZ } from './builders.ts';

/** Ines sews welts; Pia learns it; Tomasz is released for it too; Ruth supervises, and runs no machine. */
export const PIA = asOperativeId('op-pia');
export { INES, PAIR, RUTH, TOMASZ };
/** Another ticket, as it is issued. */
export const OTHER_PAIR = issueTicket(1, 0).pair;

const LINE = 'OWN RIB CLO LAS WLT INT LAY HBL ETR EST CHK BOX DSP'.split(' ').map(asStageCode);

/** How far a full rebuild and a heel-only job need each stage; the other jobs are as the full rebuild. */
const NEEDED: Readonly<Record<string, readonly [full: StepNeed, heel: StepNeed]>> = {
  CLO: ['if-needed', 'never'],
  RIB: ['always', 'never'],
  LAS: ['always', 'never'],
  WLT: ['always', 'never'],
  INT: ['always', 'never'],
  LAY: ['always', 'never'],
};

const BEFORE: Readonly<Record<string, string>> = {
  RIB: 'OWN',
  CLO: 'RIB',
  LAS: 'RIB CLO',
  WLT: 'LAS',
  INT: 'WLT',
  LAY: 'INT',
  HBL: 'OWN',
  ETR: 'LAY HBL',
  EST: 'ETR',
  CHK: 'EST',
  BOX: 'CHK',
  DSP: 'BOX',
};

const ROUTES: SiteRoutes = {
  version: 1,
  since: 0,
  steps: LINE.map((stage) => {
    const [full, heel] = NEEDED[stage] ?? ['always', 'always'];
    return { stage, need: JOBS.map((job) => (job === 'HL' ? heel : full)) };
  }),
  needs: Object.entries(BEFORE).flatMap(([stage, before]) =>
    before
      .split(' ')
      .map((needs) => ({ stage: asStageCode(stage), needs: asStageCode(needs), kind: 'hard' as const })),
  ),
};

const WAYS: Ways = {
  owner: asStageCode('OWN'),
  receive: null,
  inspect: null,
  lastFrom: asStageCode('LAS'),
  lastTo: asStageCode('LAY'),
  check: asStageCode('CHK'),
  box: asStageCode('BOX'),
  together: ['ETR', 'CHK', 'BOX'].map(asStageCode),
  colour: [asStageCode('EST')],
};

/** Every stage of a full rebuild that must be finished before `stage`. */
export function before(stage: StageCode): readonly StageCode[] {
  const met = new Set<string>();
  const walk = (code: string) => {
    for (const needs of (BEFORE[code] ?? '').split(' ').filter((one) => one !== '' && one !== 'CLO')) {
      if (!met.has(needs)) walk(needs);
      met.add(needs);
    }
  };
  walk(stage);
  return LINE.filter((code) => met.has(code) && code !== WAYS.owner);
}

export interface Bench {
  readonly bench: BenchId;
  readonly stages: readonly StageCode[];
}

const bench = (name: string, stages: string): Bench => ({
  bench: asBenchId(name),
  stages: stages.split(' ').filter(Boolean).map(asStageCode),
});

export const NOT_SET_UP = bench('bench-new', '');
export const WELTING_BENCH = bench('bench-welting', 'WLT INT');
export const LASTING_BENCH = bench('bench-lasting', 'LAS');
export const TRIMMING_BENCH = bench('bench-trimming', 'ETR');
export const CHECK_BENCH = bench('bench-check', 'CHK');
export const BOX_BENCH = bench('bench-box', 'BOX');

/** Where work of other benches takes place. */
export const ELSEWHERE = asBenchId('bench-elsewhere');

export const WORKS: SiteBook = siteBook({
  closingStage: DSP,
  stages: LINE.map((code) => ({
    code,
    name: `Stage ${code}`,
    plain: `at ${code}`,
    machine: code === 'WLT' || code === 'ETR',
    reminds: code === 'WLT',
    settles: null,
  })),
  routes: [ROUTES],
  ways: WAYS,
  operatives: [
    person(INES, 'Ines Okafor', 'hand', ['WLT', 'ETR']),
    person(TOMASZ, 'Tomasz Lindqvist', 'hand', ['WLT', 'ETR']),
    person(PIA, 'Pia Sandoval', 'hand', []),
    person(RUTH, 'Ruth Adeyemi', 'supervisor', []),
  ],
});

function person(
  id: OperativeId,
  name: string,
  role: SiteBook['operatives'][number]['role'],
  released: readonly string[],
): SiteBook['operatives'][number] {
  return { id, name, role, released: released.map(asStageCode) };
}
