/** One reminder line: its sign, its words, where they come from, and who answers for them until when. */
import { useState } from 'preact/hooks';
import { REMINDER_LENGTH_MAX, type ReminderLine } from '../../domain/catalogue/reminder-lines.ts';
import type { Wording } from '../../domain/site-book.ts';
import { Pictogram } from '../../parts/pictogram.tsx';
import { site } from '../../words/site.ts';
import type { SiteDrafting } from './site-drafting.ts';
import { FaultNote } from './site-fault.tsx';

interface Props {
  readonly drafting: SiteDrafting;
  readonly line: ReminderLine;
  readonly author: string | null;
  /** At how many other stages the line is shown too. */
  readonly elsewhere: number;
}

type Doing = 'word' | 'confirm' | 'off';

export function ReminderRow({ drafting, line, author, elsewhere }: Props) {
  const [doing, setDoing] = useState<Doing | null>(null);
  const { book, canChange, today } = drafting;
  const wording = book.reminders.wordings.find((one) => one.line === line.id) ?? null;
  const off = wording !== null && wording.text === null;
  const late = wording !== null && wording.review < today;
  const text = wording?.text ?? line.text;
  return (
    <li class={off ? 'site-line site-line-off' : 'site-line'}>
      <Pictogram id={line.pictogram} size={44} />
      <div class="site-line-words">
        <p class="site-line-text">{text}</p>
        {wording !== null && wording.text !== null && wording.text !== line.text && (
          <p class="desk-calm">{site.catalogueSays(line.text)}</p>
        )}
        <p class="desk-calm">
          {line.drawsOn.length > 0 ? site.drawsOn(line.drawsOn) : site.marks[line.mark]}{' '}
          {site.alsoAt(elsewhere)}
        </p>
        <Standing wording={wording} confirm={line.confirm} late={late} />
        {doing !== null && canChange && (
          <WordingForm
            doing={doing}
            drafting={drafting}
            line={line}
            text={text}
            author={wording?.by ?? author ?? ''}
            onDone={() => setDoing(null)}
          />
        )}
        <FaultNote faults={drafting.faultsAt(line.id)} book={book} />
      </div>
      {doing === null && canChange && (
        <div class="site-buttons site-line-buttons">
          {(wording === null ? line.confirm : late && !off) && (
            <button type="button" onClick={() => setDoing('confirm')}>
              {site.confirm}
            </button>
          )}
          <button type="button" onClick={() => setDoing('word')}>
            {site.word}
          </button>
          {(!off || late) && (
            <button type="button" onClick={() => setDoing('off')}>
              {off ? site.staysOff : site.switchOff}
            </button>
          )}
          {wording !== null && (
            <button
              type="button"
              onClick={() => drafting.change(line.id, { change: 'restore-reminder', line: line.id })}
            >
              {site.restore}
            </button>
          )}
        </div>
      )}
    </li>
  );
}

function Standing(props: { wording: Wording | null; confirm: boolean; late: boolean }) {
  const { wording, confirm, late } = props;
  if (wording === null) return confirm ? <p class="site-count">{site.toConfirm}</p> : null;
  const { text, by, on, review } = wording;
  return (
    <p>
      {late && <b class="site-late">{site.overdue}. </b>}
      {text === null ? site.offBy(by, on, review) : site.wordedBy(by, on, review)}
    </p>
  );
}

interface FormProps {
  readonly doing: Doing;
  readonly drafting: SiteDrafting;
  readonly line: ReminderLine;
  readonly text: string;
  readonly author: string;
  readonly onDone: () => void;
}

function WordingForm({ doing, drafting, line, text: shown, author, onDone }: FormProps) {
  const [text, setText] = useState(shown);
  const [by, setBy] = useState(author);
  const [review, setReview] = useState(yearAfter(drafting.today));
  const titles = { word: site.word, confirm: site.confirm, off: site.switchOff };
  const submit = () => {
    const said = { line: line.id, by, review };
    const stands =
      doing === 'off'
        ? drafting.change(line.id, { change: 'switch-off-reminder', ...said })
        : drafting.change(line.id, { change: 'word-reminder', ...said, text });
    if (stands) onDone();
  };
  return (
    <form
      class="site-form"
      onSubmit={(event) => {
        event.preventDefault();
        submit();
      }}
    >
      {doing === 'word' && (
        <label>
          {site.text}
          <input
            value={text}
            maxLength={120}
            aria-describedby={`left-${line.id}`}
            onInput={(event) => setText(event.currentTarget.value)}
          />
          <span
            id={`left-${line.id}`}
            class={text.trim().length > REMINDER_LENGTH_MAX ? 'site-late' : 'desk-calm'}
          >
            {site.left(text.trim().length, REMINDER_LENGTH_MAX)}
          </span>
        </label>
      )}
      <div class="site-two">
        <label>
          {site.author}
          <input value={by} maxLength={80} onInput={(event) => setBy(event.currentTarget.value)} />
        </label>
        <label>
          {site.review}
          <input
            type="date"
            value={review}
            min={drafting.today}
            onInput={(event) => setReview(event.currentTarget.value)}
          />
        </label>
      </div>
      <div class="site-buttons">
        <button type="button" onClick={onDone}>
          {site.cancel}
        </button>
        <button type="submit" class="site-main">
          {titles[doing]}
        </button>
      </div>
    </form>
  );
}

/** The same day a year on; a proposal that the competent person changes. */
function yearAfter(day: string): string {
  const next = `${Number(day.slice(0, 4)) + 1}${day.slice(4)}`;
  return next.endsWith('-02-29') ? next.replace('-29', '-28') : next;
}
