import { useState } from 'preact/hooks';
import { JOBS } from '../../domain/record/kinds.ts';
import { jobNames } from '../../words/names.ts';
import { actWords } from '../../words/whereabouts-acts.ts';
import { amend, longestOf, type Typed } from '../whereabouts-acts.ts';
import { ActForm } from './pair-act-form.tsx';
import { DayField, LineField, PickField } from './pair-fields.tsx';
import type { FormProps } from './pair-given.ts';
import { JobChangeNote } from './pair-job-change.tsx';

const LINES = ['ownerRef', 'style', 'last', 'size', 'fitting', 'maker', 'asked'] as const;

/** Details put right; only what differs is recorded. */
export function AmendForm({ office, state, onMade, onClose }: FormProps) {
  // What the writer saw when the form was opened: a change that comes in meanwhile must not slip under it.
  const [seen] = useState(state);
  const [typed, setTyped] = useState<Typed>(() => typedOf(seen));
  const [why, setWhy] = useState('');
  const set = (change: Partial<Typed>) => setTyped({ ...typed, ...change });
  return (
    <ActForm
      act="amend"
      office={office}
      prepare={() => amend(seen, typed, why)}
      onMade={onMade}
      onClose={onClose}
    >
      <div class="pair-fields">
        <PickField
          name={actWords.job}
          value={typed.job}
          onValue={(job) => set({ job })}
          choices={JOBS.map((value) => ({ value, name: jobNames[value] }))}
        />
        <DayField name={actWords.promised} value={typed.promised} onValue={(promised) => set({ promised })} />
        {LINES.map((field) => (
          <LineField
            key={field}
            name={capital(actWords.details[field])}
            value={typed[field]}
            most={longestOf(field)}
            onValue={(value) => set({ [field]: value })}
          />
        ))}
      </div>
      <JobChangeNote office={office} state={seen} job={typed.job} />
      <LineField name={actWords.why} value={why} onValue={setWhy} />
    </ActForm>
  );
}

function typedOf({ details }: FormProps['state']): Typed {
  return {
    job: details?.job ?? 'FB',
    ownerRef: details?.ownerRef ?? '',
    style: details?.style ?? '',
    last: details?.last ?? '',
    size: details?.size ?? '',
    fitting: details?.fitting ?? '',
    promised: details?.promised ?? '',
    maker: details?.maker ?? '',
    asked: details?.asked ?? '',
  };
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
