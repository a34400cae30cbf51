/** The notes of the draft, numbered as on the drawing; weight and words can be changed. */
import { defectById } from '../../domain/catalogue/defects.ts';
import { WEIGHTS } from '../../domain/record/kinds.ts';
import { WeightMark } from '../../parts/weight-mark.tsx';
import { logging } from '../../words/logging.ts';
import { weightNames } from '../../words/names.ts';
import { Choice } from './choice.tsx';
import { NOTE_LENGTH } from './draft-problems.ts';
import type { DraftNote } from './logging-draft.ts';
import { placeName } from './note-placing.tsx';

interface Props {
  readonly notes: readonly DraftNote[];
  readonly onNotes: (notes: DraftNote[]) => void;
}

export function NoteList({ notes, onNotes }: Props) {
  if (notes.length === 0) return <p class="desk-calm">{logging.noNotes}</p>;
  const change = (key: number, said: Partial<DraftNote>) =>
    onNotes(notes.map((note) => (note.key === key ? { ...note, ...said } : note)));
  return (
    <ol class="log-notes">
      {notes.map((note, index) => (
        <li key={note.key}>
          <WeightMark weight={note.weight} label={String(index + 1)} size={36} />
          <div class="log-note">
            <p>
              <b>{(note.defect === null ? undefined : defectById(note.defect)?.name) ?? logging.ownWords}</b>{' '}
              <span class="desk-calm">{placeName(note)}</span>
            </p>
            <WeightChoice
              note={note}
              number={index + 1}
              onWeight={(weight) => change(note.key, { weight })}
            />
            <div class="log-field">
              <label for={`log-note-${note.key}`}>{logging.noteWords}</label>
              <input
                id={`log-note-${note.key}`}
                type="text"
                dir="auto"
                value={note.text}
                maxLength={NOTE_LENGTH}
                autocomplete="off"
                onInput={(event) => change(note.key, { text: event.currentTarget.value })}
              />
            </div>
          </div>
          <button
            type="button"
            class="log-quiet"
            aria-label={logging.remove(index + 1)}
            onClick={() => onNotes(notes.filter(({ key }) => key !== note.key))}
          >
            ×
          </button>
        </li>
      ))}
    </ol>
  );
}

interface WeightProps {
  readonly note: DraftNote;
  readonly number: number;
  readonly onWeight: (weight: DraftNote['weight']) => void;
}

/** Only the weights that the defect can have; one that can have but one is not asked about. */
function WeightChoice({ note: { key, defect, weight }, number, onWeight }: WeightProps) {
  const possible = (defect === null ? undefined : defectById(defect)?.weights) ?? WEIGHTS;
  if (possible.length < 2) return <p class="desk-calm">{weightNames[weight]}</p>;
  return (
    <Choice
      name={`log-weight-${key}`}
      label={`${logging.weight}, ${number}`}
      options={possible.map((value) => ({ value, label: weightNames[value] }))}
      chosen={weight}
      onChoose={onWeight}
    />
  );
}
