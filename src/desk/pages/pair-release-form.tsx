import { useState } from 'preact/hooks';
import { stops } from '../../domain/fold/notes.ts';
import type { RecordId } from '../../domain/ids.ts';
import { noteHeading } from '../../words/whereabouts.ts';
import { actWords } from '../../words/whereabouts-acts.ts';
import { releaseNote } from '../whereabouts-acts.ts';
import { ActForm } from './pair-act-form.tsx';
import { LineField, RadioField } from './pair-fields.tsx';
import type { FormProps } from './pair-given.ts';

/** A stop note no longer stops. Offered to supervisors alone. */
export function ReleaseForm({ office, state, onMade, onClose }: FormProps) {
  const standing = state.notes.filter(stops);
  const [note, setNote] = useState<RecordId | null>(null);
  const [why, setWhy] = useState('');
  return (
    <ActForm
      act="release"
      office={office}
      prepare={() => releaseNote(state.pair, note, why)}
      onMade={onMade}
      onClose={onClose}
    >
      <RadioField
        name={actWords.note}
        value={note}
        onValue={setNote}
        choices={standing.map((held) => ({
          value: held.note.id,
          name: `${noteHeading(held)}: ${held.note.text}`,
        }))}
      />
      <LineField name={actWords.why} value={why} onValue={setWhy} />
    </ActForm>
  );
}
