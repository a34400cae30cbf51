import { curableAt, notesFor } from '../../domain/fold/notes.ts';
import type { Details, NoteState, PairState } from '../../domain/fold/pair-state.ts';
import { lastDone, settlingBefore, wayOf } from '../../domain/way.ts';
import { WeightMark } from '../../parts/weight-mark.tsx';
import { actions, cardLabels } from '../../words/bench.ts';
import { calendarDay, clockTime, length, when } from '../../words/format.ts';
import { jobNames, shoeNames, weightNames } from '../../words/names.ts';
import { stageName, unseenNotes } from '../app/bar-parts.ts';
import type { PairCard, View } from '../app/screen.ts';
import type { CardProps } from './card-props.ts';
import { CodeText } from './code-text.tsx';
import { checkList, choices } from './later-parts.ts';

/** The pair under work: its ticket, its facts, and the notes that matter at this stage, before anything else. */
export function PairCardView(props: CardProps) {
  const { card, view } = props;
  return (
    <>
      <CodeText
        code={card.id}
        checked={view.book?.ticketPattern === null || card.id.startsWith('P')}
        as="h2"
      />
      {card.moment.is === 'reminders' || card.choosing !== null ? null : card.pair?.details == null ? (
        <p class="big">{cardLabels.unknown}</p>
      ) : (
        <Facts card={card} pair={card.pair} details={card.pair.details} view={view} />
      )}
      {card.choosing !== null ? (
        <choices.Later {...props} choosing={card.choosing} />
      ) : card.moment.is === 'checking' || card.moment.is === 'boxing' ? (
        <checkList.Later {...props} />
      ) : card.moment.is === 'reminders' ? null : (
        <Notes {...props} />
      )}
    </>
  );
}

interface FactsProps {
  readonly card: PairCard;
  readonly pair: PairState;
  readonly details: Details;
  readonly view: View;
}

function Facts({ card, pair, details, view }: FactsProps) {
  const zone = view.book?.timeZone ?? 'UTC';
  const before = pair.spells.findLast(({ stage, outcome }) => outcome === 'done' && stage !== card.stage);
  const facts: readonly (readonly [string, string])[] = [
    [cardLabels.job, jobNames[details.job]],
    [cardLabels.lastSizeFit, `${details.last} · ${details.size} · ${details.fitting}`],
    [cardLabels.promised, calendarDay(details.promised)],
    [
      cardLabels.before,
      before === undefined
        ? cardLabels.nothingBefore
        : `${stageName(view, before.stage)}, ${beforeWhen(before.to ?? before.from, view.now, zone)}`,
    ],
    ...(details.asked === null ? [] : [[cardLabels.asked, details.asked] as const]),
  ];
  return (
    <>
      <dl class="facts">
        {facts.map(([label, value]) => (
          <div key={label}>
            <dt>{label}</dt>
            <dd dir="auto">{value}</dd>
          </div>
        ))}
      </dl>
      {cautionsOf(card, pair, view).map((caution) => (
        <p key={caution} class="settling">
          {caution}
        </p>
      ))}
    </>
  );
}

/** What is worth knowing before hands go to the pair, and never stops them. */
function cautionsOf(card: PairCard, pair: PairState, view: View): readonly string[] {
  const { book, now } = view;
  const zone = book?.timeZone ?? 'UTC';
  const way = book === null ? null : wayOf(pair, book);
  const settling =
    way === null || book === null || lastDone(pair, card.stage) !== null
      ? []
      : settlingBefore(pair, way, book, card.stage, now);
  const { moment } = card;
  const shoe = 'begin' in moment ? moment.begin.shoe : 'spell' in moment ? moment.spell.shoe : 'both';
  return [
    ...(shoe === 'both' ? [] : [cardLabels.partedNow(shoeNames[shoe])]),
    ...settling.map(({ stage, until }) => cardLabels.setting(stageName(view, stage), when(until, now, zone))),
  ];
}

function beforeWhen(at: number, now: number, zone: string): string {
  return now - at < 6 * 3_600_000 && now >= at ? `${length(now - at)} ago` : when(at, now, zone);
}

function Notes({ card, view, acts }: CardProps) {
  const notes = card.pair === null ? [] : cardNotes(card.pair, card.stage);
  if (notes.length === 0) return <p class="quiet">{cardLabels.noNotes}</p>;
  const { is } = card.moment;
  const asked = is === 'see-notes' || is === 'clocked-in' || is === 'open';
  const unseen = new Set(asked ? unseenNotes(card, view.on?.id ?? null).map(({ note }) => note.id) : []);
  const curable = new Set(
    card.pair === null || is === 'see-notes'
      ? []
      : curableAt(card.pair, card.stage).map(({ note }) => note.id),
  );
  return (
    <section aria-label={cardLabels.notes}>
      <ol class="notes">
        {notes.map((note, index) => (
          <NoteRow
            key={note.note.id}
            note={note}
            number={index + 1}
            unseen={unseen.has(note.note.id)}
            curable={curable.has(note.note.id)}
            card={card}
            view={view}
            acts={acts}
          />
        ))}
      </ol>
    </section>
  );
}

/** The notes shown on a card: those to be seen at its stage, and those that stop the pair wherever it is. */
export function cardNotes(pair: PairState, stage: PairCard['stage']): readonly NoteState[] {
  const here = new Set(notesFor(pair, stage));
  return pair.notes.filter(
    (note) =>
      here.has(note) || (note.note.weight === 'stop' && note.cured === null && note.released === null),
  );
}

interface NoteRowProps extends CardProps {
  readonly note: NoteState;
  readonly number: number;
  readonly unseen: boolean;
  readonly curable: boolean;
}

function NoteRow({ note, number, unseen, curable, card, view, acts }: NoteRowProps) {
  const { weight, text, shoe, at, bench, id } = note.note;
  const zone = view.book?.timeZone ?? 'UTC';
  const place = view.book?.benches.find((other) => other.bench === bench)?.name;
  const on = view.on?.id ?? null;
  const seen = note.seen.findLast(({ stage, by }) => stage === card.stage && by === on);
  return (
    <li class={`note ${weight}`}>
      <WeightMark weight={weight} label={String(number)} size={60} />
      <div>
        <h3>
          <bdi>{text}</bdi> · {shoeNames[shoe]}
        </h3>
        <p>
          {weightNames[weight]} · {cardLabels.notedAt(place ?? 'noted', when(at, view.now, zone))}
          {curable ? ` · ${cardLabels.curedHere}` : ''}
        </p>
      </div>
      {unseen ? (
        <button type="button" class="button strong" onClick={() => acts.seen(id)}>
          {actions.seen}
        </button>
      ) : curable ? (
        <button type="button" class="button" onClick={() => acts.cured(id)}>
          {actions.cured}
        </button>
      ) : seen === undefined ? null : (
        <span class="seen">✓ {cardLabels.seenAt(clockTime(seen.at, zone))}</span>
      )}
    </li>
  );
}
