/** What is seen at the place that was tapped: the defects that lie there first, then all, then own words. */
import { useState } from 'preact/hooks';
import { DEFECTS, type Defect, defectById } from '../../domain/catalogue/defects.ts';
import { ZONES } from '../../domain/catalogue/zones.ts';
import type { Shoe } from '../../domain/record/kinds.ts';
import { MarkShape } from '../../parts/weight-mark.tsx';
import { logging } from '../../words/logging.ts';
import { shoeNames } from '../../words/names.ts';
import { NOTE_LENGTH } from './draft-problems.ts';
import { asLine, type DraftNote } from './logging-draft.ts';
import { useShown } from './use-shown.ts';

export interface NotePlace {
  readonly shoe: Shoe;
  readonly zone: string | null;
  readonly side: 'inside' | 'outside' | null;
}

interface Props {
  readonly place: NotePlace;
  readonly onNote: (note: Omit<DraftNote, 'key'>) => void;
  readonly onLeave: () => void;
}

export function NotePlacing({ place, onNote, onLeave }: Props) {
  const [words, setWords] = useState('');
  const box = useShown<HTMLElement>();
  const here = defectsAt(place.zone);
  const note = ({ id, usualWeight }: Defect) =>
    onNote({ ...sided(place), defect: id, weight: usualWeight, text: '' });
  const noteWords = () => {
    const text = asLine(words);
    if (text !== '') onNote({ ...sided(place), defect: null, weight: 'ask', text });
  };
  return (
    <section class="log-placing" aria-labelledby="log-placing" ref={box} tabIndex={-1}>
      <h3 id="log-placing">
        {placeName(place)}. {logging.at}
      </h3>
      {here.length > 0 && (
        <ul class="log-defects" aria-label={logging.found}>
          {here.map((defect) => (
            <li key={defect.id}>
              <button type="button" onClick={() => note(defect)}>
                <svg class="drawing" width="28" height="28" viewBox="-25 -25 50 50" aria-hidden="true">
                  <MarkShape weight={defect.usualWeight} />
                </svg>
                <span>
                  {defect.name}
                  <small>{defect.test}</small>
                </span>
              </button>
            </li>
          ))}
        </ul>
      )}
      <div class="log-beside">
        <div class="log-field">
          <label for="log-any">{logging.anyDefect}</label>
          <select
            id="log-any"
            onChange={(event) => {
              const defect = defectById(event.currentTarget.value);
              if (defect !== undefined) note(defect);
            }}
          >
            <option value="">{logging.choose}</option>
            {DEFECTS.filter((defect) => !here.includes(defect)).map(({ id, name }) => (
              <option key={id} value={id}>
                {name}
              </option>
            ))}
          </select>
        </div>
      </div>
      <div class="log-beside">
        <div class="log-field">
          <label for="log-words">{logging.ownWords}</label>
          <input
            id="log-words"
            type="text"
            dir="auto"
            value={words}
            maxLength={NOTE_LENGTH}
            autocomplete="off"
            onInput={(event) => setWords(event.currentTarget.value)}
            onKeyDown={(event) => {
              if (event.key !== 'Enter') return;
              event.preventDefault();
              noteWords();
            }}
          />
        </div>
        <button type="button" class="log-quiet" onClick={noteWords}>
          {logging.noteIt}
        </button>
        <button type="button" class="log-quiet" onClick={onLeave}>
          {logging.notHere}
        </button>
      </div>
    </section>
  );
}

/** Without a zone, those that belong to the pair as a whole. */
function defectsAt(zone: string | null): readonly Defect[] {
  return DEFECTS.filter(({ zones }) => (zone === null ? zones.length === 0 : zones.includes(zone)));
}

/** The side is said only where the zone itself leaves it open. */
function sided({ shoe, zone, side }: NotePlace): NotePlace {
  return { shoe, zone, side: ZONES.find(({ id }) => id === zone)?.hasSide === true ? side : null };
}

/** `left, channel line, outside` */
export function placeName(place: NotePlace): string {
  const { shoe, zone, side } = sided(place);
  const name = zone === null ? logging.wholePair : (ZONES.find(({ id }) => id === zone)?.name ?? zone);
  return logging.placeName(shoeNames[shoe], name, side);
}
