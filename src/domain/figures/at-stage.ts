/** The facts of many pairs, sorted by the stage that they are about. */
import type { StageCode } from '../ids.ts';
import type { PairFacts, SentBackFacts, SpellFacts, WaitFacts } from './facts.ts';

/** A pair's facts with the one of them that is looked at. */
export interface Of<Fact> {
  readonly facts: PairFacts;
  readonly fact: Fact;
}

export interface AtStage {
  readonly spells: readonly Of<SpellFacts>[];
  readonly waits: readonly Of<WaitFacts>[];
  readonly sentBackFrom: readonly Of<SentBackFacts>[];
  readonly sentBackTo: readonly Of<SentBackFacts>[];
}

export const NOTHING_THERE: AtStage = { spells: [], waits: [], sentBackFrom: [], sentBackTo: [] };

type Filling = { [Key in keyof AtStage]: AtStage[Key][number][] };

/** One pass over all that is known. */
export function byStage(all: readonly PairFacts[]): ReadonlyMap<StageCode, AtStage> {
  const stages = new Map<StageCode, Filling>();
  const at = (stage: StageCode): Filling => {
    const held = stages.get(stage) ?? { spells: [], waits: [], sentBackFrom: [], sentBackTo: [] };
    stages.set(stage, held);
    return held;
  };
  for (const facts of all) {
    for (const fact of facts.spells) at(fact.stage).spells.push({ facts, fact });
    for (const fact of facts.waits) at(fact.stage).waits.push({ facts, fact });
    for (const fact of facts.sentBack) {
      at(fact.from).sentBackFrom.push({ facts, fact });
      at(fact.to).sentBackTo.push({ facts, fact });
    }
  }
  return stages;
}
