/** Which stages stand without a record before the one that a card asks about: all of them, not only the nearest. */
import type { StageCode } from '../../domain/ids.ts';
import { unrecordedBefore, wayOf } from '../../domain/way.ts';
import type { PairCard, View } from './screen.ts';

export function lateStages(
  { pair, stage, moment }: Pick<PairCard, 'pair' | 'stage' | 'moment'>,
  { book }: Pick<View, 'book'>,
): readonly StageCode[] {
  if (pair === null || book === null || moment.is !== 'asked' || moment.question.ask !== 'not-due') return [];
  const way = wayOf(pair, book, moment.begin.shoe);
  // The owner's yes is nobody's to record at a bench.
  return way === null ? [] : unrecordedBefore(way, stage).filter((code) => code !== book.ways.owner);
}
