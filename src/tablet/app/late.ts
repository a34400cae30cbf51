/** Which stages stand without a record before the one that a card asks about: all of them, not only the nearest. */
import type { StageCode } from '../../domain/ids.ts';
import type { SiteBook } from '../../domain/site-book.ts';
import { unrecordedBefore, wayOf } from '../../domain/way.ts';
import type { PairCard, View } from './screen.ts';

export function lateStages(
  { pair, stage, moment }: Pick<PairCard, 'pair' | 'stage' | 'moment'>,
  { book }: Pick<View, 'book'>,
): readonly StageCode[] {
  if (pair === null || book === null || moment.is !== 'asked' || moment.question.ask !== 'not-due') return [];
  const way = wayOf(pair, book, moment.begin.shoe);
  return way === null ? [] : unrecordedBefore(way, stage).filter((code) => canBeTold(code, book));
}

/** The owner's yes is nobody's to record at a bench, and a final check that nobody saw made is no check. */
export function canBeTold(stage: StageCode, { ways }: Pick<SiteBook, 'ways'>): boolean {
  return stage !== ways.owner && stage !== ways.check;
}

/** A final check and boxing end by what was felt for, compared and put in: of another bench nobody here can say it. */
export function endCanBeTold(stage: StageCode, book: Pick<SiteBook, 'ways'> | null): boolean {
  return book === null || (stage !== book.ways.check && stage !== book.ways.box);
}
