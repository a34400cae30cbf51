/** Notes placed on the shoes: tap the place, then what is seen there. */
import '../../parts/drawings.css';
import { useRef, useState } from 'preact/hooks';
import { ZONES } from '../../domain/catalogue/zones.ts';
import { SHOES, type Shoe } from '../../domain/record/kinds.ts';
import { ShoeOutline } from '../../parts/shoe-outline.tsx';
import type { ShoeView } from '../../parts/shoe-paths.ts';
import { logging } from '../../words/logging.ts';
import { shoeNames } from '../../words/names.ts';
import { Choice } from './choice.tsx';
import { FieldSays } from './field-says.tsx';
import type { DraftNote } from './logging-draft.ts';
import { NoteList } from './note-list.tsx';
import { type NotePlace, NotePlacing } from './note-placing.tsx';
import type { FieldsProps } from './pair-fields.tsx';

const VIEWS: readonly ShoeView[] = ['bottom', 'inside', 'outside'];

export function NoteFields({ draft: { notes }, change, problems }: FieldsProps) {
  const [view, setView] = useState<ShoeView>('bottom');
  const [place, setPlace] = useState<NotePlace | null>(null);
  const marks = notes.map(({ key, shoe, zone, side, weight }, index) => ({
    id: String(key),
    shoe,
    zone,
    side,
    weight,
    number: index + 1,
  }));
  const add = (note: Omit<DraftNote, 'key'>) => {
    const key = Math.max(0, ...notes.map((one) => one.key)) + 1;
    change({ notes: [...notes, { ...note, key }] });
    setPlace(null);
  };
  return (
    <section class="log-part" aria-labelledby="log-notes">
      <h2 id="log-notes">{logging.notes}</h2>
      <p class="log-hint">{logging.notesHint}</p>
      <Choice
        name="log-view"
        label={logging.notes}
        options={VIEWS.map((value) => ({ value, label: logging.views[value] }))}
        chosen={view}
        onChoose={setView}
      />
      <div class={`log-drawing log-drawing-${view}`}>
        <ShoeOutline view={view} marks={marks} onZone={setPlace} />
      </div>
      {place === null ? (
        <OtherPlace onPlace={setPlace} />
      ) : (
        <NotePlacing
          key={`${place.shoe} ${place.zone} ${place.side}`}
          place={place}
          onNote={add}
          onLeave={() => setPlace(null)}
        />
      )}
      <NoteList notes={notes} onNotes={(next) => change({ notes: next })} />
      <FieldSays id="log-notes" problem={problems.notes} />
    </section>
  );
}

/** For places inside the shoe, for the pair as a whole, and for hands that would rather choose from a list. */
function OtherPlace({ onPlace }: { readonly onPlace: (place: NotePlace) => void }) {
  const [shoe, setShoe] = useState<Shoe>('both');
  const zone = useRef<HTMLSelectElement>(null);
  const options = ZONES.flatMap(({ id, name, view, hasSide }) =>
    (hasSide ? (['inside', 'outside'] as const) : [null]).map((side) => ({
      value: `${id} ${side ?? ''}`,
      label: `${logging.zoneViews[view]}: ${name}${side === null ? '' : `, ${side}`}`,
    })),
  );
  const note = () => {
    const [id = '', side = ''] = (zone.current?.value ?? '').split(' ');
    onPlace({
      shoe,
      zone: id === '' ? null : id,
      side: side === 'inside' || side === 'outside' ? side : null,
    });
  };
  return (
    <div class="log-beside log-elsewhere">
      <div class="log-field">
        <label for="log-place">{logging.place}</label>
        <select id="log-place" ref={zone}>
          <option value="">{logging.wholePair}</option>
          {options.map(({ value, label }) => (
            <option key={value} value={value}>
              {label}
            </option>
          ))}
        </select>
      </div>
      <div class="log-field">
        <label for="log-place-shoe">{logging.placeShoe}</label>
        <select
          id="log-place-shoe"
          value={shoe}
          onChange={(event) => setShoe(SHOES.find((one) => one === event.currentTarget.value) ?? 'both')}
        >
          {SHOES.map((one) => (
            <option key={one} value={one}>
              {shoeNames[one]}
            </option>
          ))}
        </select>
      </div>
      <button type="button" class="log-quiet" onClick={note}>
        {logging.placeIt}
      </button>
    </div>
  );
}
