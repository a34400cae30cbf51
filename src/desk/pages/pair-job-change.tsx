import type { StageCode } from '../../domain/ids.ts';
import type { Job } from '../../domain/record/kinds.ts';
import { stageShown } from '../../words/whereabouts-account.ts';
import { jobChangeLines } from '../../words/whereabouts-acts.ts';
import { jobChange } from '../whereabouts-acts.ts';
import type { FormProps } from './pair-given.ts';

type Props = Pick<FormProps, 'office' | 'state'> & { readonly job: Job };

/** What another kind of job comes to, before it is recorded; nothing where it is the kind that the pair has. */
export function JobChangeNote({ office: { book }, state, job }: Props) {
  const change = state.details === null || job === state.details.job ? null : jobChange(state, book, job);
  if (change === null) return null;
  const names = (stages: readonly StageCode[]) => stages.map((stage) => stageShown(book, stage));
  const lines = jobChangeLines({
    job,
    added: names(change.added),
    dropped: names(change.dropped),
    kept: names(change.kept),
  });
  return (
    <ul class="pair-change" aria-live="polite">
      {lines.map((line) => (
        <li key={line}>{line}</li>
      ))}
    </ul>
  );
}
