import { linesInTurn } from '../../domain/catalogue/reminder-turn.ts';
import { CAUTION, remindersFor } from '../../domain/catalogue/reminders.ts';
import type { StageCode } from '../../domain/ids.ts';
import { reminderLines } from '../../domain/reminder-wording.ts';
import type { SiteBook } from '../../domain/site-book.ts';
import { Pictogram } from '../../parts/pictogram.tsx';
import { cardLabels } from '../../words/bench.ts';

export interface RemindersProps {
  readonly stage: StageCode;
  readonly turn: number;
  readonly book: SiteBook | null;
  /** Shown before the stage's first use on a day, with a touch asked for. */
  readonly large: boolean;
}

/** A few safety lines of the stage; which ones changes from pair to pair, never while one is being worked. */
export function Reminders({ stage, turn, book, large }: RemindersProps) {
  const lines = linesInTurn(book === null ? remindersFor(stage) : reminderLines(stage, book), turn);
  if (lines.length === 0) return null;
  return (
    <section class={large ? 'reminders large' : 'reminders'} aria-label={cardLabels.reminders}>
      <ul>
        {lines.map(({ id, text, pictogram }) => (
          <li key={id}>
            <Pictogram id={pictogram} size={large ? 96 : 64} />
            {text}
          </li>
        ))}
      </ul>
      <p class="caution">{large ? CAUTION.long : CAUTION.short}</p>
    </section>
  );
}
