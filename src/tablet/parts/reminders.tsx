import { remindersInTurn } from '../../domain/catalogue/reminder-turn.ts';
import { CAUTION } from '../../domain/catalogue/reminders.ts';
import type { StageCode } from '../../domain/ids.ts';
import { Pictogram } from '../../parts/pictogram.tsx';
import { cardLabels } from '../../words/bench.ts';

/** A few safety lines of the stage; which ones changes from pair to pair, never while one is being worked. */
export function Reminders({ stage, turn }: { readonly stage: StageCode; readonly turn: number }) {
  const lines = remindersInTurn(stage, turn);
  if (lines.length === 0) return null;
  return (
    <section class="reminders" aria-label={cardLabels.reminders}>
      <ul>
        {lines.map(({ id, text, pictogram }) => (
          <li key={id}>
            <Pictogram id={pictogram} size={64} />
            {text}
          </li>
        ))}
      </ul>
      <p class="caution">{CAUTION.short}</p>
    </section>
  );
}
