/** The job: what the findings call for, what a person decides, the owner's yes and the promise. */
import { JOBS } from '../../domain/record/kinds.ts';
import type { SiteBook } from '../../domain/site-book.ts';
import type { Triage } from '../../domain/triage.ts';
import { calendarDay } from '../../words/format.ts';
import { logging } from '../../words/logging.ts';
import { jobNames } from '../../words/names.ts';
import { Choice } from './choice.tsx';
import { stagesProposed, yesOf } from './decisions.ts';
import { FieldSays, saysId } from './field-says.tsx';
import { YES } from './logging-draft.ts';
import type { FieldsProps } from './pair-fields.tsx';
import { isDay, type UsualPromise } from './promise.ts';
import { ProposalBox } from './proposal-box.tsx';

interface Props extends FieldsProps {
  readonly book: SiteBook;
  readonly found: Triage | null;
  /** Null until the job is chosen. */
  readonly usual: UsualPromise | null;
  readonly today: string;
}

export function JobFields({ draft, change, problems, book, found, usual, today }: Props) {
  const { job } = draft;
  const proposed = found !== null && 'job' in found.proposal ? found.proposal.job : null;
  const stages = job === null ? [] : stagesProposed(job, found, book);
  return (
    <section class="log-part" aria-labelledby="log-job">
      <h2 id="log-job">{logging.job}</h2>
      <ProposalBox found={found} />
      <Choice
        name="log-job"
        label={logging.job}
        options={JOBS.map((value) => ({
          value,
          label: jobNames[value],
          aside: value === proposed ? logging.proposed : undefined,
        }))}
        chosen={job}
        onChoose={(chosen) => change({ job: chosen })}
        describedBy={saysId('log-job')}
      />
      <FieldSays id="log-job" problem={problems.job} />
      {stages.length > 0 && (
        <fieldset class="choice">
          <legend>{logging.stages}</legend>
          <div class="choice-row">
            {stages.map((stage) => (
              <label key={stage} class="choice-one">
                <input
                  type="checkbox"
                  checked={!draft.stagesLeft.includes(stage)}
                  onChange={(event) =>
                    change({
                      stagesLeft: event.currentTarget.checked
                        ? draft.stagesLeft.filter((left) => left !== stage)
                        : [...draft.stagesLeft, stage],
                    })
                  }
                />
                <span>{book.stages.find(({ code }) => code === stage)?.name ?? stage}</span>
              </label>
            ))}
          </div>
        </fieldset>
      )}
      <div class="log-grid log-grid-two">
        <Choice
          name="log-yes"
          label={logging.yes}
          shown
          options={YES.map((value) => ({ value, label: logging.yesAnswers[value] }))}
          chosen={job === null && draft.yes === null ? null : yesOf(draft, found)}
          onChoose={(yes) => change({ yes })}
        />
        <Promised
          day={draft.promised ?? usual?.day ?? ''}
          chosen={draft.promised !== null}
          meant={draft.pastMeant}
          problem={problems.promised}
          usual={usual}
          today={today}
          change={change}
        />
      </div>
    </section>
  );
}

interface PromisedProps {
  readonly day: string;
  readonly chosen: boolean;
  readonly meant: string | null;
  readonly problem: string | undefined;
  readonly usual: UsualPromise | null;
  readonly today: string;
  readonly change: FieldsProps['change'];
}

function Promised({ day, chosen, meant, problem, usual, today, change }: PromisedProps) {
  const isPast = isDay(day) && day < today;
  return (
    <div class="log-field">
      <label for="log-promised">{logging.promised}</label>
      <div class="log-day">
        <input
          id="log-promised"
          type="date"
          value={day}
          aria-describedby={`log-promised-hint ${saysId('log-promised')}`}
          aria-invalid={problem !== undefined}
          onInput={(event) => change({ promised: event.currentTarget.value })}
        />
        <span>{isDay(day) && calendarDay(day)}</span>
      </div>
      <p id="log-promised-hint" class="log-hint">
        {!chosen && usual !== null && logging.promisedHint(usual.daysAhead)}
      </p>
      <FieldSays id="log-promised" problem={problem} />
      {isPast && (
        <label class="choice-one">
          <input
            type="checkbox"
            checked={meant === day}
            onChange={(event) => change({ pastMeant: event.currentTarget.checked ? day : null })}
          />
          <span>{logging.pastMeant}</span>
        </label>
      )}
    </div>
  );
}
