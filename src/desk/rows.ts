/** The rows of the live page's tables, from the server's answer alone. */
import type { PairId, StageCode } from '../domain/ids.ts';
import type { Instant } from '../domain/instant.ts';
import type { DeskNow } from './api.ts';

export type StageRow =
  | {
      readonly is: 'stage';
      readonly stage: StageCode;
      readonly name: string;
      readonly pairsIn: number;
      readonly pairsOut: number;
      readonly openNow: number;
      /** How many of the open ones were clocked in before the shift began, and never out. */
      readonly left: number;
    }
  /** Neighbours in the route at which nothing has happened: one quiet row for all of them. */
  | { readonly is: 'quiet'; readonly first: StageCode; readonly names: readonly string[] };

export function stageRows(now: DeskNow): readonly StageRow[] {
  const leftAt = now.open.filter(({ since }) => isLeft(now, since)).map(({ stage }) => stage);
  const rows: StageRow[] = [];
  for (const { stage, name, pairsIn, pairsOut, openNow } of now.stages) {
    const before = rows.at(-1);
    if (pairsIn + pairsOut + openNow > 0) {
      rows.push({
        is: 'stage',
        stage,
        name,
        pairsIn,
        pairsOut,
        openNow,
        left: leftAt.filter((at) => at === stage).length,
      });
    } else if (before?.is === 'quiet') {
      rows.splice(-1, 1, { ...before, names: [...before.names, name] });
    } else {
      rows.push({ is: 'quiet', first: stage, names: [name] });
    }
  }
  return rows;
}

/** The number of pairs that fills a bar: the greatest in the table, and never 0. */
export function fullBar(now: DeskNow): number {
  return Math.max(1, ...now.stages.flatMap(({ pairsIn, pairsOut }) => [pairsIn, pairsOut]));
}

export interface OpenRow {
  readonly spell: string;
  readonly pair: PairId;
  readonly stage: string;
  readonly bench: string;
  /** Null where nobody was badged on. */
  readonly hand: string | null;
  readonly since: Instant;
  readonly left: boolean;
}

/** What is open, the longest open first. */
export function openRows(now: DeskNow): readonly OpenRow[] {
  const names = new Map(now.stages.map(({ stage, name }) => [stage, name]));
  return now.open
    .map(({ spell, pair, stage, benchName, by, byName, since }) => ({
      spell,
      pair,
      stage: names.get(stage) ?? stage,
      bench: benchName,
      hand: byName ?? by,
      since,
      left: isLeft(now, since),
    }))
    .sort((a, b) => a.since - b.since || (a.spell < b.spell ? -1 : 1));
}

export interface Overview {
  /** Pairs that finished the closing stage in this shift; null between shifts or where the stage is not listed. */
  readonly pairsOut: number | null;
  readonly shift: boolean;
  readonly pairsOpen: number;
  readonly left: { readonly pairs: number; readonly oldest: Instant } | null;
  /** How many pairs show each flag, added up: a pair with two flags is two things to put right. */
  readonly toPutRight: number;
}

/** What the page's first sentence is made from. */
export function overview(now: DeskNow, closingStage: StageCode): Overview {
  const closing = now.stages.find(({ stage }) => stage === closingStage);
  const left = now.open.filter(({ since }) => isLeft(now, since));
  return {
    pairsOut: now.shift === null || closing === undefined ? null : closing.pairsOut,
    shift: now.shift !== null,
    pairsOpen: now.pairsOpen,
    left:
      left.length === 0
        ? null
        : {
            pairs: new Set(left.map(({ pair }) => pair)).size,
            oldest: Math.min(...left.map(({ since }) => since)),
          },
    toPutRight: now.flags.reduce((sum, { pairs }) => sum + pairs, 0),
  };
}

function isLeft({ shift }: DeskNow, since: Instant): boolean {
  return shift !== null && since < shift.from;
}
