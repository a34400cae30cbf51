/** What an export needs besides records: the site's names, and what its hands are to be called. */
import type { BenchId, OperativeId, StageCode } from '../ids.ts';
import type { SiteBook } from '../site-book.ts';
import { type SiteTime, siteTimeIn } from './times.ts';

/** How a hand is called in an export: by a pseudonym that only the site can trace, or by name. */
export type HandNaming = (hand: OperativeId) => string;

export interface ExportView {
  readonly siteTime: SiteTime;
  readonly handCalled: HandNaming;
  readonly stageName: (stage: StageCode) => string | null;
  /** Benches come and go: a bench that is no longer in the book has no name. */
  readonly benchName: (bench: BenchId) => string | null;
  readonly benchStages: (bench: BenchId) => readonly StageCode[];
}

export function exportView(book: SiteBook, handCalled: HandNaming): ExportView {
  const stages = new Map(book.stages.map(({ code, name }) => [code, name]));
  const benches = new Map(book.benches.map((bench) => [bench.bench, bench]));
  return {
    siteTime: siteTimeIn(book.timeZone),
    handCalled,
    stageName: (stage) => stages.get(stage) ?? null,
    benchName: (bench) => benches.get(bench)?.name ?? null,
    benchStages: (bench) => benches.get(bench)?.stages ?? [],
  };
}

/** By the names in the book: two hands of one name are told apart by their ids, and whoever has left has the id alone. */
export function calledByName({ operatives }: Pick<SiteBook, 'operatives'>): HandNaming {
  const names = new Map<OperativeId, string>(operatives.map(({ id, name }) => [id, name]));
  const shared = new Set(
    operatives.map(({ name }) => name).filter((name, index, all) => all.indexOf(name) !== index),
  );
  return (hand) => {
    const name = names.get(hand);
    if (name === undefined) return hand;
    return shared.has(name) ? `${name} (${hand})` : name;
  };
}
