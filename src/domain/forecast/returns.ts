/** How often pairs are sent back from each stage, and what was done again then. */
import type { PairFacts, SentBackFacts } from '../figures/facts.ts';
import type { StageCode } from '../ids.ts';
import type { Instant } from '../instant.ts';
import type { SiteBook } from '../site-book.ts';

export interface Returns {
  /** Of the visits to the stage; 0 … 1. */
  readonly share: number;
  /** For each sending back the stages that were done again, in the site's order, without the one that sent back. */
  readonly again: readonly (readonly StageCode[])[];
}

export function returnsOf(
  facts: readonly PairFacts[],
  since: Instant,
  book: SiteBook,
): ReadonlyMap<StageCode, Returns> {
  const place = new Map(book.stages.map(({ code }, index) => [code, index]));
  const again = new Map<StageCode, (readonly StageCode[])[]>();
  const visits = new Map<StageCode, number>();
  for (const pair of facts) {
    for (const { stage, outcome, to } of pair.spells)
      if (outcome === 'done' && to !== null && to >= since) visits.set(stage, (visits.get(stage) ?? 0) + 1);
    for (const back of pair.sentBack) {
      if (back.at < since) continue;
      const stages = [...stagesAgain(pair, back)].sort((a, b) => (place.get(a) ?? 0) - (place.get(b) ?? 0));
      again.set(back.from, [...(again.get(back.from) ?? []), stages]);
    }
  }
  return new Map(
    [...again].map(([stage, all]) => {
      const many = all.length + (visits.get(stage) ?? 0);
      return [stage, { share: all.length / many, again: all }];
    }),
  );
}

function stagesAgain({ spells }: PairFacts, { record, from, to }: SentBackFacts): ReadonlySet<StageCode> {
  const undone = spells.filter(
    ({ undone: { left, right } }) => left?.record === record || right?.record === record,
  );
  return new Set([to, ...undone.map(({ stage }) => stage)].filter((stage) => stage !== from));
}
