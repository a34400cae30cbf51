/** What every part of a card is handed. */
import type { Acts } from '../app/acts.ts';
import type { PairCard, View } from '../app/screen.ts';

export interface CardProps {
  readonly card: PairCard;
  readonly view: View;
  readonly acts: Acts;
}
