/** Which touch times a step draws from: its stage on its job, where enough are known, and wider where not. */

import { grouped } from '../figures/grouped.ts';
import type { StageCode } from '../ids.ts';
import { MINUTE_MS } from '../instant.ts';
import type { Job } from '../record/kinds.ts';
import type { History } from './history.ts';

/** `stage`: all jobs together. `site`: all stages together. `assumed`: nothing is known. */
export type PooledOver = 'job' | 'stage' | 'site' | 'assumed';

export interface Service {
  /** A hand's milliseconds for one visit, taking up included. */
  readonly ms: readonly number[];
  readonly over: PooledOver;
}

const SAMPLES_LEAST = 8;
/** How far off times may be that are not the stage's own; an assumption, no source. */
const ERROR_ELSEWHERE = 0.3;
/** An assumption, no source. */
const ASSUMED_MS = [5, 8, 12, 16, 20, 30, 45].map((minutes) => minutes * MINUTE_MS);

export class Services {
  readonly #history: History;
  readonly #byStage: ReadonlyMap<StageCode, readonly History['visits'][number][]>;
  readonly #held = new Map<string, Service>();

  constructor(history: History) {
    this.#history = history;
    this.#byStage = grouped(history.visits, ({ stage }) => stage);
  }

  /** @param job null for all jobs together */
  of(stage: StageCode, job: Job | null): Service {
    const key = `${stage} ${job}`;
    const held = this.#held.get(key);
    if (held !== undefined) return held;
    const found = this.#find(stage, job);
    const { stages, site } = this.#history.takeUp;
    const takeUpMs = stages.get(stage) ?? site;
    const service = { over: found.over, ms: found.ms.map((ms) => ms + takeUpMs) };
    this.#held.set(key, service);
    return service;
  }

  /** The standard error of the mean of its stage's times, as a share of that mean. */
  errorOf(stage: StageCode): number {
    const { ms, over } = this.of(stage, null);
    if (over !== 'stage') return ERROR_ELSEWHERE;
    const mean = ms.reduce((sum, one) => sum + one, 0) / ms.length;
    const variance = ms.reduce((sum, one) => sum + (one - mean) ** 2, 0) / (ms.length - 1);
    return Math.sqrt(variance / ms.length) / mean;
  }

  #find(stage: StageCode, job: Job | null): Service {
    const here = this.#byStage.get(stage) ?? [];
    const ofJob = job === null ? [] : here.filter((visit) => visit.job === job);
    const { visits } = this.#history;
    for (const [over, some] of [
      ['job', ofJob],
      ['stage', here],
      ['site', visits],
    ] as const)
      if (some.length >= SAMPLES_LEAST) return { over, ms: some.map(({ ms }) => ms) };
    return { over: 'assumed', ms: ASSUMED_MS };
  }
}
