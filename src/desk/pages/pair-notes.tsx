/** The notes of a pair: listed, and drawn on the shoes in both views. */
import '../../parts/drawings.css';
import type { NoteState } from '../../domain/fold/pair-state.ts';
import type { Whereabouts } from '../../domain/whereabouts.ts';
import { ShoeOutline } from '../../parts/shoe-outline.tsx';
import { type ShoeView, viewsThatDraw } from '../../parts/shoe-paths.ts';
import { WeightMark } from '../../parts/weight-mark.tsx';
import { when } from '../../words/format.ts';
import { type Naming, noteHeading, noteLine, noteWordsAt } from '../../words/whereabouts.ts';
import { handShown } from '../../words/whereabouts-account.ts';

interface Props {
  readonly where: Whereabouts;
  readonly naming: Naming;
}

export function PairNotes({ where: { openNotes, curedNotes }, naming }: Props) {
  return (
    <section class="pair-notes" aria-labelledby="pair-notes">
      <h3 id="pair-notes">{noteWordsAt.title}</h3>
      {openNotes.length + curedNotes.length === 0 && <p class="desk-calm">{noteWordsAt.none}</p>}
      {openNotes.length > 0 && (
        <div class="pair-shoes">
          <Shoes notes={openNotes} view="bottom" />
          <Shoes notes={openNotes} view={sideOf(openNotes)} />
        </div>
      )}
      <ol>
        {openNotes.map((note, index) => (
          <Note key={note.note.id} note={note} number={index + 1} naming={naming} />
        ))}
        {curedNotes.map((note) => (
          <Note key={note.note.id} note={note} number={null} naming={naming} />
        ))}
      </ol>
    </section>
  );
}

function Shoes({ notes, view }: { readonly notes: readonly NoteState[]; readonly view: ShoeView }) {
  const marks = notes.map(({ note: { id, shoe, zone, weight, side } }, index) => ({
    id,
    shoe,
    zone,
    weight,
    side,
    number: index + 1,
  }));
  // A note on the sole stands on the drawing of the sole alone; one without a place stands on both.
  const here = marks.filter(({ zone }) => {
    const views = zone === null ? [] : viewsThatDraw(zone);
    return views.length === 0 || views.includes(view);
  });
  return <ShoeOutline view={view} marks={here} />;
}

/** The side from which more of the notes are seen. */
function sideOf(notes: readonly NoteState[]): ShoeView {
  const seen = (view: ShoeView) =>
    notes.filter(
      ({ note: { zone, side } }) => zone !== null && viewsThatDraw(zone).includes(view) && side === view,
    ).length;
  return seen('inside') > seen('outside') ? 'inside' : 'outside';
}

interface NoteProps {
  readonly note: NoteState;
  /** As it stands on the drawing; null for one that is cured and not drawn. */
  readonly number: number | null;
  readonly naming: Naming;
}

function Note({ note, number, naming }: NoteProps) {
  const { book, now } = naming;
  const { by, at, text, weight } = note.note;
  return (
    <li class={number === null ? 'pair-cured' : ''}>
      <WeightMark weight={weight} label={number === null ? undefined : String(number)} size={36} />
      <div>
        <b>{noteHeading(note)}</b> <span dir="auto">{text}</span>
        <span class="pair-line pair-when">
          {handShown(book, by)}, {when(at, now, book.timeZone)}. {noteLine(note, naming)}
        </span>
      </div>
    </li>
  );
}
