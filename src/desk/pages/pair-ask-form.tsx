import { useState } from 'preact/hooks';
import type { RecordId } from '../../domain/ids.ts';
import { noteHeading } from '../../words/whereabouts.ts';
import { actWords } from '../../words/whereabouts-acts.ts';
import { askOwner } from '../whereabouts-acts.ts';
import { ActForm } from './pair-act-form.tsx';
import { LineField, PickField } from './pair-fields.tsx';
import type { FormProps } from './pair-given.ts';

const NONE = 'none';

/** The owner has to be asked: why, and because of which note. */
export function AskForm({ office, state, onMade, onClose }: FormProps) {
  const [why, setWhy] = useState('');
  const [note, setNote] = useState<string>(NONE);
  const open = state.notes.filter(({ cured }) => cured === null);
  const chosen: RecordId | null = open.find(({ note: { id } }) => id === note)?.note.id ?? null;
  return (
    <ActForm
      act="ask"
      office={office}
      prepare={() => askOwner(state.pair, why, chosen)}
      onMade={onMade}
      onClose={onClose}
    >
      <LineField name={actWords.why} value={why} onValue={setWhy} />
      {open.length > 0 && (
        <PickField
          name={actWords.askNote}
          value={note}
          onValue={setNote}
          choices={[
            { value: NONE, name: actWords.noNote },
            ...open.map((held) => ({
              value: held.note.id as string,
              name: `${noteHeading(held)}: ${held.note.text}`,
            })),
          ]}
        />
      )}
    </ActForm>
  );
}
