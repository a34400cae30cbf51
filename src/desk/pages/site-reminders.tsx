/** The reminders of one stage at a time, in the site's words, with what is overdue or waits to be confirmed. */
import { useState } from 'preact/hooks';
import { CAUTION, remindersFor } from '../../domain/catalogue/reminders.ts';
import { asStageCode, type StageCode } from '../../domain/ids.ts';
import { isUnconfirmed, overdueReviews, reminderLines } from '../../domain/reminder-wording.ts';
import type { SiteBook } from '../../domain/site-book.ts';
import { routesToChange } from '../../domain/site-change-routes.ts';
import { stageName } from '../../domain/site-change-stages.ts';
import { Pictogram } from '../../parts/pictogram.tsx';
import { site } from '../../words/site.ts';
import type { SiteDrafting } from './site-drafting.ts';
import { ReminderRow } from './site-reminder-row.tsx';

interface Props {
  readonly drafting: SiteDrafting;
  /** Who is at the desk: taken for the competent person until another is named. */
  readonly author: string | null;
}

export function RemindersTab({ drafting, author }: Props) {
  const { book, today } = drafting;
  const stages = stagesWithReminders(book);
  const [chosen, setChosen] = useState<StageCode | null>(null);
  const stage = chosen ?? stages[0]?.code ?? null;
  return (
    <>
      <p class="site-prevail">
        <Pictogram id={CAUTION.pictogram} size={40} />
        <span>
          <b>{site.prevail}</b> {site.notTraining}
        </span>
      </p>
      <div class="site-reminders">
        <StageList stages={stages} stage={stage} book={book} today={today} onChoose={setChosen} />
        {stage !== null && (
          <section aria-labelledby="site-reminder-stage">
            <h2 id="site-reminder-stage">{stageName(book, stage)}</h2>
            <ul class="site-lines">
              {remindersFor(stage).map((line) => (
                <ReminderRow
                  key={line.id}
                  drafting={drafting}
                  line={line}
                  author={author}
                  elsewhere={stages.filter(({ code }) => code !== stage && shows(code, line.id)).length}
                />
              ))}
            </ul>
          </section>
        )}
      </div>
    </>
  );
}

interface StageListProps {
  readonly stages: SiteBook['stages'];
  readonly stage: StageCode | null;
  readonly book: SiteBook;
  readonly today: string;
  readonly onChoose: (stage: StageCode) => void;
}

/** All of them in sight where there is room beside the lines; one field to choose from where there is not. */
function StageList({ stages, stage, book, today, onChoose }: StageListProps) {
  const overdue = overdueReviews(book, today).map(({ line }) => line);
  const rows = stages.map(({ code, name }) => ({
    code,
    name,
    unconfirmed: reminderLines(code, book).filter(isUnconfirmed).length,
    late: overdue.filter((line) => shows(code, line)).length,
  }));
  return (
    <>
      <div class="site-stage-choice site-form">
        <label>
          {site.reminderStage}
          <select value={stage ?? ''} onChange={(event) => onChoose(asStageCode(event.currentTarget.value))}>
            {rows.map(({ code, name, late, unconfirmed }) => (
              <option key={code} value={code}>
                {site.stageWith(name, late, unconfirmed)}
              </option>
            ))}
          </select>
        </label>
      </div>
      <nav class="site-stages" aria-label={site.reminderStage}>
        {rows.map(({ code, name, late, unconfirmed }) => (
          <button
            key={code}
            type="button"
            aria-current={code === stage ? 'true' : undefined}
            onClick={() => onChoose(code)}
          >
            <span>{name}</span>
            {late > 0 && <span class="site-late">{site.overdueCount(late)}</span>}
            {unconfirmed > 0 && <span class="site-count">{site.unconfirmedCount(unconfirmed)}</span>}
          </button>
        ))}
      </nav>
    </>
  );
}

/** Stages of the site's routes for which the catalogue has reminders. */
function stagesWithReminders(book: SiteBook): SiteBook['stages'] {
  const done = new Set(
    routesToChange(book)
      .steps.filter(({ need }) => need.some((one) => one !== 'never'))
      .map(({ stage }) => stage),
  );
  return book.stages.filter(({ code }) => done.has(code) && remindersFor(code).length > 0);
}

const shows = (stage: StageCode, line: string) => remindersFor(stage).some(({ id }) => id === line);
