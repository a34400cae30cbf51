import { useState } from 'preact/hooks';
import { actWords } from '../../words/whereabouts-acts.ts';
import { handBack } from '../whereabouts-acts.ts';
import { ActForm } from './pair-act-form.tsx';
import { LineField } from './pair-fields.tsx';
import type { FormProps } from './pair-given.ts';

/** The owner said stop, and has the pair again, unfinished. Offered then alone. */
export function HandBackForm({ office, state, onMade, onClose }: FormProps) {
  const [how, setHow] = useState('');
  return (
    <ActForm
      act="hand-back"
      office={office}
      prepare={() => handBack(state, how)}
      onMade={onMade}
      onClose={onClose}
    >
      <p class="desk-calm">{actWords.handBackHint(state.last)}</p>
      <LineField name={actWords.handBackHow} value={how} onValue={setHow} />
    </ActForm>
  );
}
