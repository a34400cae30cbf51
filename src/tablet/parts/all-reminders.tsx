/** All that the stage reminds of, with its hazards. A reminder is no training and makes no machine safe. */

import type { ReminderLine } from '../../domain/catalogue/reminder-lines.ts';
import { CAUTION, REMINDER_KINDS, remindersFor } from '../../domain/catalogue/reminders.ts';
import type { StageCode } from '../../domain/ids.ts';
import { reminderLines, type SiteLine } from '../../domain/reminder-wording.ts';
import type { SiteBook } from '../../domain/site-book.ts';
import { Pictogram } from '../../parts/pictogram.tsx';
import { cardLabels } from '../../words/bench.ts';
import { reminderWords } from '../../words/choices.ts';
import { calendarDay } from '../../words/format.ts';

export function AllReminders({ stage, book }: { readonly stage: StageCode; readonly book: SiteBook | null }) {
  const lines: readonly (ReminderLine | SiteLine)[] =
    book === null ? remindersFor(stage) : reminderLines(stage, book);
  const kinds = REMINDER_KINDS.filter(({ stages, hazards }) => stages.includes(stage) && hazards !== '');
  return (
    <section class="all-reminders" aria-label={cardLabels.reminders}>
      <p class="caution">{CAUTION.long}</p>
      <dl>
        {kinds.map(({ id, title, hazards }) => (
          <div key={id}>
            <dt>{title}</dt>
            <dd>{hazards}</dd>
          </div>
        ))}
      </dl>
      <ul>
        {lines.map((line) => (
          <li key={line.id}>
            <Pictogram id={line.pictogram} size={56} />
            <span>
              {line.text}
              <small>
                {'wording' in line && line.wording !== null
                  ? reminderWords.worded(line.wording.by, calendarDay(line.wording.on))
                  : line.drawsOn.length > 0
                    ? line.drawsOn.join('; ')
                    : reminderWords.commonPractice}
              </small>
            </span>
          </li>
        ))}
      </ul>
    </section>
  );
}
