/** How far an entry of the catalogue can be trusted. Every entry carries its mark, and a site may overrule any. */
import { sourceTitle } from './sources.ts';

const UNSOURCED = ['common-practice', 'from-memory', 'rule-of-thumb'] as const;

export type Mark = 'source' | (typeof UNSOURCED)[number];

/** `source` is the published source's title, and stands only beside the mark `source`. */
export interface Marked {
  readonly mark: Mark;
  readonly source?: string;
}

/** Reads a table's mark cell: one of the marks without a source, else a key of `SOURCES`. Throws on anything else. */
export function markOf(cell: string): Marked {
  const mark = UNSOURCED.find((word) => word === cell);
  return mark ? { mark } : { mark: 'source', source: sourceTitle(cell) };
}
