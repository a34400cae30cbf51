/** The figures of many runs. */
import type { Outcome } from './run-plan.ts';

export class Tally {
  readonly #began = performance.now();
  readonly #faults = new Map<string, number>();
  readonly violating: number[] = [];
  #seeds = 0;
  #records = 0;
  #requests = 0;
  #events = 0;
  #settledMsMax = 0;

  add({ plan, violations, records, requests, events, settledMs, faults }: Outcome): void {
    this.#seeds += 1;
    this.#records += records;
    this.#requests += requests;
    this.#events += events;
    this.#settledMsMax = Math.max(this.#settledMsMax, settledMs - 2 * plan.restMs);
    for (const [fault, count] of faults) this.#faults.set(fault, (this.#faults.get(fault) ?? 0) + count);
    if (violations.length > 0) this.violating.push(plan.seed);
  }

  get line(): string {
    const seconds = (performance.now() - this.#began) / 1000;
    const rate = (this.#seeds / seconds).toFixed(1);
    return `${this.#seeds} seeds, ${this.violating.length} with violations, ${seconds.toFixed(0)} s, ${rate} seeds a second`;
  }

  get text(): string {
    const faults = [...this.#faults]
      .sort(([, a], [, b]) => b - a)
      .map(([fault, count]) => `  ${fault} ${count}`);
    return [
      this.line,
      `${this.#records} records, ${this.#requests} requests, ${this.#events} events`,
      'faults:',
      ...faults,
      this.violating.length > 0
        ? `seeds with violations: ${this.violating.slice(0, 50).join(' ')}`
        : 'no violations',
    ].join('\n');
  }
}
