import type { NoteState, PairState } from '../../domain/fold/pair.ts';
import { notesFor } from '../../domain/fold/pair.ts';
import { WeightMark } from '../../parts/weight-mark.tsx';
import { actions, cardLabels, sendBackReason, setAsideReasons } from '../../words/bench.ts';
import { calendarDay, length, when } from '../../words/format.ts';
import { jobNames, shoeNames, weightNames } from '../../words/names.ts';
import type { Acts } from '../app/acts.ts';
import { stageName, unseenNotes } from '../app/bar.ts';
import type { PairCard, View } from '../app/screen.ts';
import { CodeText } from './code-text.tsx';

interface CardProps {
  readonly card: PairCard;
  readonly view: View;
  readonly acts: Acts;
}

/** The pair under work: its ticket, its facts, and the notes that matter at this stage, before anything else. */
export function PairCardView({ card, view, acts }: CardProps) {
  return (
    <>
      <CodeText
        code={card.id}
        checked={view.book?.ticketPattern === null || card.id.startsWith('P')}
        as="h2"
      />
      {card.pair?.logged == null ? (
        <p class="big">{cardLabels.unknown}</p>
      ) : (
        <Facts card={card} pair={card.pair} view={view} />
      )}
      {card.choosing === 'set-aside' ? (
        <Choices
          options={setAsideReasons.map((reason) => ({
            key: reason,
            label: reason,
            onChoose: () => acts.setAside(reason),
          }))}
        />
      ) : card.choosing === 'send-back' ? (
        <Choices
          options={stagesBefore(card, view).map(({ code, name }) => ({
            key: code,
            label: name,
            onChoose: () => acts.sendBack(code, sendBackReason),
          }))}
        />
      ) : (
        <Notes card={card} view={view} acts={acts} />
      )}
    </>
  );
}

function Facts({
  card,
  pair,
  view,
}: {
  readonly card: PairCard;
  readonly pair: PairState;
  readonly view: View;
}) {
  const { logged } = pair;
  if (logged === null) return null;
  const before = pair.spells.findLast(({ stage, outcome }) => outcome === 'done' && stage !== card.stage);
  const zone = view.book?.timeZone ?? 'UTC';
  const facts: readonly (readonly [string, string])[] = [
    [cardLabels.job, jobNames[logged.job]],
    [cardLabels.lastSizeFit, `${logged.last} · ${logged.size} · ${logged.fitting}`],
    [cardLabels.promised, calendarDay(logged.promised)],
    [
      cardLabels.before,
      before === undefined
        ? cardLabels.nothingBefore
        : `${stageName(view, before.stage)}, ${beforeWhen(before.to ?? before.from, view.now, zone)}`,
    ],
  ];
  return (
    <dl class="facts">
      {facts.map(([label, value]) => (
        <div key={label}>
          <dt>{label}</dt>
          <dd>{value}</dd>
        </div>
      ))}
    </dl>
  );
}

function beforeWhen(at: number, now: number, zone: string): string {
  return now - at < 6 * 3_600_000 && now >= at ? `${length(now - at)} ago` : when(at, now, zone);
}

function Notes({ card, view, acts }: CardProps) {
  const notes = card.pair === null ? [] : notesFor(card.pair, card.stage);
  if (notes.length === 0) return <p class="quiet">{cardLabels.noNotes}</p>;
  const asked =
    card.moment.is === 'see-notes' || card.moment.is === 'clocked-in' || card.moment.is === 'open';
  const unseen = new Set(asked ? unseenNotes(card, view.on?.id ?? null).map(({ note }) => note.id) : []);
  return (
    <section aria-label={cardLabels.notes}>
      <ol class="notes">
        {notes.map((note, index) => (
          <NoteRow
            key={note.note.id}
            note={note}
            number={index + 1}
            unseen={unseen.has(note.note.id)}
            card={card}
            view={view}
            acts={acts}
          />
        ))}
      </ol>
    </section>
  );
}

interface NoteRowProps extends CardProps {
  readonly note: NoteState;
  readonly number: number;
  readonly unseen: boolean;
}

function NoteRow({ note, number, unseen, card, view, acts }: NoteRowProps) {
  const { weight, text, shoe, at, bench, id } = note.note;
  const zone = view.book?.timeZone ?? 'UTC';
  const place = view.book?.benches.find((other) => other.bench === bench)?.name;
  const seen = note.seen.findLast(({ stage, by }) => stage === card.stage && by === view.on?.id);
  return (
    <li class={`note ${weight}`}>
      <WeightMark weight={weight} label={String(number)} size={60} />
      <div>
        <h3>
          {text} · {shoeNames[shoe]}
        </h3>
        <p>
          {weightNames[weight]} · {cardLabels.notedAt(place ?? 'noted', when(at, view.now, zone))}
        </p>
      </div>
      {unseen ? (
        <button type="button" class="button strong" onClick={() => acts.seen(id)}>
          {actions.seen}
        </button>
      ) : seen === undefined ? null : (
        <span class="seen">✓ {cardLabels.seenAt(when(seen.at, view.now, zone))}</span>
      )}
    </li>
  );
}

interface Choice {
  readonly key: string;
  readonly label: string;
  readonly onChoose: () => void;
}

function Choices({ options }: { readonly options: readonly Choice[] }) {
  return (
    <div class="choices">
      {options.map(({ key, label, onChoose }) => (
        <button key={key} type="button" class="button" onClick={onChoose}>
          {label}
        </button>
      ))}
    </div>
  );
}

/** The stages that a pair at this bench can have come from. */
function stagesBefore(card: PairCard, view: View) {
  const stages = view.book?.stages ?? [];
  const here = stages.findIndex(({ code }) => code === card.stage);
  return stages
    .slice(0, Math.max(here, 0))
    .filter(({ code }) => card.pair?.spells.some(({ stage }) => stage === code) ?? true);
}
