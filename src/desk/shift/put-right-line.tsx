/** How much is to be put right, in one line among the others; it opens to the list, which settles each in two taps. */
import { useState } from 'preact/hooks';
import { WeightMark } from '../../parts/weight-mark.tsx';
import { countShown, endWords } from '../../words/shift-end.ts';
import type { Office } from '../office.ts';
import { PutRight } from '../parts/put-right.tsx';
import { putRightList } from '../put-right-acts.ts';

/** So few stand open by themselves. */
const FEW = 3;

export function PutRightLine({ office }: { readonly office: Office }) {
  const [byHand, setByHand] = useState<boolean | null>(null);
  const many = putRightList(office).length;
  const open = byHand ?? many <= FEW;
  return (
    <details
      class="shift-put-right"
      open={open}
      onToggle={({ currentTarget }) => {
        if (currentTarget.open !== open) setByHand(currentTarget.open);
      }}
    >
      <summary>
        <WeightMark weight={many === 0 ? 'mend' : 'stop'} label={countShown(many)} size={40} />
        <span>
          <b>{endWords.putRight}</b>
          <span>{endWords.putRightHint}</span>
        </span>
      </summary>
      <PutRight office={office} />
    </details>
  );
}
