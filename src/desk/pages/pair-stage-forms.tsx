/** A stage that this pair does not need, and one that it does. */
import { useState } from 'preact/hooks';
import type { StageCode } from '../../domain/ids.ts';
import { stageShown } from '../../words/whereabouts-account.ts';
import type { ActName } from '../../words/whereabouts-acts.ts';
import { actWords } from '../../words/whereabouts-acts.ts';
import { askable, askStage, notNeeded, type Prepared, spareable } from '../whereabouts-acts.ts';
import { ActForm } from './pair-act-form.tsx';
import { LineField, PickField } from './pair-fields.tsx';
import type { FormProps } from './pair-given.ts';

export function NotNeededForm(props: FormProps) {
  const { office, state } = props;
  return (
    <StageForm
      {...props}
      act="not-needed"
      stages={spareable(state, office.book)}
      prepare={(stage, why) => notNeeded(state.pair, stage, why)}
    />
  );
}

export function AskStageForm(props: FormProps) {
  const { office, state } = props;
  return (
    <StageForm
      {...props}
      act="ask-stage"
      stages={askable(state, office.book)}
      prepare={(stage, why) => askStage(state.pair, stage, why, null)}
    />
  );
}

interface StageFormProps extends FormProps {
  readonly act: ActName;
  readonly stages: readonly StageCode[];
  readonly prepare: (stage: StageCode | null, why: string) => Prepared;
}

function StageForm({ act, stages, prepare, office, onMade, onClose }: StageFormProps) {
  const [stage, setStage] = useState<StageCode | null>(null);
  const [why, setWhy] = useState('');
  return (
    <ActForm act={act} office={office} prepare={() => prepare(stage, why)} onMade={onMade} onClose={onClose}>
      <PickField
        name={actWords.stage}
        value={stage}
        onValue={setStage}
        choices={stages.map((value) => ({ value, name: stageShown(office.book, value) }))}
      />
      <LineField name={actWords.why} value={why} onValue={setWhy} />
    </ActForm>
  );
}
