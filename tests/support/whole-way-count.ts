/** Counts scans and taps, stage by stage and pair by pair, and holds them against what a stage may cost. */
import { expect } from 'playwright/test';
import type { PairId, StageCode } from '../../src/domain/ids.ts';
import type { Tablet } from './tablet.ts';

/** A plain stage: once in, once out. */
const SCANS = 2;

interface Counted {
  readonly stage: StageCode;
  readonly pair: PairId;
  scans: number;
  taps: number;
  /** Notes that whoever was on had not seen, and the day's first look at the stage's reminders. */
  notes: number;
  reminders: number;
  /** Beyond clocking in and out: notes made and cured, pairs set aside or sent back, the final check, boxing. */
  besideScans: number;
  besideTaps: number;
}

export interface Expecting {
  expectTaps(why: 'notes' | 'reminders', taps: number): void;
}

export class Tally {
  readonly #rows: Counted[] = [];
  readonly #names = new Map<PairId, string>();
  readonly #touches = new Map<Tablet, () => Promise<number>>();

  name(pair: PairId, name: string): void {
    this.#names.set(pair, name);
  }

  /** From here on the page itself counts what a finger does. */
  async watch(tablet: Tablet): Promise<void> {
    this.#touches.set(tablet, await tablet.countTouches());
  }

  async during(
    tablet: Tablet,
    stage: StageCode,
    pair: PairId,
    work: (expecting: Expecting) => Promise<void>,
  ): Promise<void> {
    const row = this.#row(stage, pair);
    const [scans, taps] = await this.#made(tablet, () =>
      work({ expectTaps: (why, expected) => (row[why] += expected) }),
    );
    row.scans += scans;
    row.taps += taps;
    expect(row.taps, `taps for ${pair} at ${stage}`).toBe(row.notes + row.reminders);
  }

  async besides(tablet: Tablet, stage: StageCode, pair: PairId, work: () => Promise<void>): Promise<void> {
    const row = this.#row(stage, pair);
    const [scans, taps] = await this.#made(tablet, work);
    row.besideScans += scans;
    row.besideTaps += taps;
  }

  /** @param twice stages that a pair was at more than once, having been sent back there or set aside */
  expectTwoScansEach(twice: ReadonlyMap<PairId, readonly string[]>): void {
    const odd = this.#rows.filter(
      ({ pair, stage, scans }) => scans !== SCANS * (twice.get(pair)?.includes(stage) === true ? 2 : 1),
    );
    expect(odd).toEqual([]);
  }

  beside(stage: string, pair: PairId): { readonly scans: number; readonly taps: number } {
    const row = this.#rows.find((one) => one.stage === stage && one.pair === pair);
    return { scans: row?.besideScans ?? 0, taps: row?.besideTaps ?? 0 };
  }

  get spells(): number {
    return this.#rows.reduce((sum, { scans }) => sum + scans / SCANS, 0);
  }

  /** One line a stage: what it cost each pair, and what was done besides. */
  table(): string {
    const pairs = [...this.#names];
    const stages = [...new Set(this.#rows.map(({ stage }) => stage))];
    const cell = (stage: StageCode, pair: PairId) => {
      const row = this.#rows.find((one) => one.stage === stage && one.pair === pair);
      return row === undefined ? '' : written(row);
    };
    const head = ['stage', ...pairs.map(([, name]) => name)];
    const lines = stages.map((stage) => [stage, ...pairs.map(([pair]) => cell(stage, pair))]);
    const torn = [...this.#touches.keys()].reduce((sum, tablet) => sum + tablet.torn, 0);
    return [
      'Scans and taps for clocking in and out (n: for a note not seen before, r: the day’s first reminders; + besides)',
      ...[head, ...lines].map((cells) =>
        cells
          .map((one) => one.padEnd(22))
          .join('')
          .trimEnd(),
      ),
      `Pulls whose keys this machine tore apart, made again and not counted: ${torn}`,
    ].join('\n');
  }

  #row(stage: StageCode, pair: PairId): Counted {
    const held = this.#rows.find((row) => row.stage === stage && row.pair === pair);
    if (held !== undefined) return held;
    const counts = { scans: 0, taps: 0, notes: 0, reminders: 0, besideScans: 0, besideTaps: 0 };
    const row = { stage, pair, ...counts };
    this.#rows.push(row);
    return row;
  }

  async #made(tablet: Tablet, work: () => Promise<void>): Promise<readonly [number, number]> {
    const touches = this.#touches.get(tablet);
    if (touches === undefined) throw new Error('this tablet’s touches are not counted');
    const [scans, taps] = [tablet.scans, await touches()];
    await work();
    return [tablet.scans - scans, (await touches()) - taps];
  }
}

function written({ scans, taps, notes, reminders, besideScans, besideTaps }: Counted): string {
  const why = [notes === 0 ? '' : `${notes}n`, reminders === 0 ? '' : `${reminders}r`]
    .filter(Boolean)
    .join(' ');
  const besides =
    besideScans + besideTaps === 0 ? '' : ` + ${besideScans > 0 ? `${besideScans}s ` : ''}${besideTaps}t`;
  return `${scans}s ${taps}t${why === '' ? '' : ` (${why})`}${besides}`;
}
