import type { Job } from '../../domain/record/kinds.ts';
import { STEP_NEEDS } from '../../domain/site-change-kinds.ts';
import type { StepNeed } from '../../domain/site-routes.ts';
import { site, stepNeedNames } from '../../words/site.ts';

interface TakeProps {
  readonly name: string;
  readonly job: Job;
  readonly need: StepNeed;
  readonly disabled: boolean;
  readonly onTake: (need: StepNeed) => void;
}

/** Three states, one after the other: always, if needed, never. */
export function TakeButton({ name, job, need, disabled, onTake }: TakeProps) {
  const next = STEP_NEEDS[(STEP_NEEDS.indexOf(need) + 1) % STEP_NEEDS.length] ?? 'always';
  return (
    <button
      type="button"
      class={`site-take site-take-${need}`}
      disabled={disabled}
      aria-label={site.cell(name, job, need)}
      onClick={() => onTake(next)}
    >
      {stepNeedNames[need]}
    </button>
  );
}
