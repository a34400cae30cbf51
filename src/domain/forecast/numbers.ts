/** The number by which a run knows each stage, hand, bench and pair of lasts. */
import type { BenchId, StageCode } from '../ids.ts';

export interface Numbers {
  readonly stages: readonly StageCode[];
  readonly hands: readonly string[];
  readonly benches: readonly string[];
  readonly lasts: readonly string[];
  /** Throws on a stage that is on no route. */
  readonly stage: (stage: StageCode) => number;
  /** -1 where there is none. */
  readonly hand: (hand: string) => number;
  readonly bench: (bench: BenchId | string) => number;
  readonly last: (last: string) => number;
}

export function numbersOf(named: Pick<Numbers, 'stages' | 'hands' | 'benches' | 'lasts'>): Numbers {
  const numbered = (names: readonly string[]) => {
    const places = new Map(names.map((name, index) => [name, index]));
    return (name: string) => places.get(name) ?? -1;
  };
  const stageAt = numbered(named.stages);
  return {
    ...named,
    stage: (stage) => {
      const place = stageAt(stage);
      if (place < 0) throw new RangeError(`${stage} is on no route of this site`);
      return place;
    },
    hand: numbered(named.hands),
    bench: numbered(named.benches),
    last: numbered(named.lasts),
  };
}
