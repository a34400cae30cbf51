import { useState } from 'preact/hooks';
import { JOBS, type Job, OWNER_ANSWERS, type OwnerAnswer } from '../../domain/record/kinds.ts';
import { jobNames } from '../../words/names.ts';
import { actWords } from '../../words/whereabouts-acts.ts';
import { answerOwner } from '../whereabouts-acts.ts';
import { ActForm } from './pair-act-form.tsx';
import { DayField, LineField, PickField, RadioField } from './pair-fields.tsx';
import type { FormProps } from './pair-given.ts';
import { JobChangeNote } from './pair-job-change.tsx';

/**
 * What the owner said. Kind of job and promise are asked for again, the day from nothing, so that no promise is
 * carried over unseen; what another kind of job comes to is shown before it is recorded.
 */
export function AnswerForm({ office, state, onMade, onClose }: FormProps) {
  const { details } = state;
  const [answer, setAnswer] = useState<OwnerAnswer | null>(null);
  const [job, setJob] = useState<Job>(details?.job ?? 'FB');
  const [promised, setPromised] = useState('');
  const [words, setWords] = useState('');
  return (
    <ActForm
      act="answer"
      office={office}
      prepare={() => answerOwner(state, { answer, job, promised, words })}
      onMade={onMade}
      onClose={onClose}
    >
      <RadioField
        name={actWords.answer}
        value={answer}
        onValue={setAnswer}
        choices={OWNER_ANSWERS.map((value) => ({ value, name: actWords.answers[value] }))}
      />
      {answer !== null && answer !== 'stop' && (
        <>
          <PickField
            name={actWords.job}
            value={job}
            onValue={setJob}
            choices={JOBS.map((value) => ({ value, name: jobNames[value] }))}
          />
          <JobChangeNote office={office} state={state} job={job} />
          <DayField name={actWords.promised} value={promised} onValue={setPromised} />
          <p class="desk-calm">{actWords.newPromise}</p>
        </>
      )}
      <LineField name={actWords.ownersWords} value={words} onValue={setWords} />
    </ActForm>
  );
}
