import '../parts/panels.css';
import { cardLabels } from '../../words/bench.ts';
import { rackWords } from '../../words/choices.ts';
import { jobNames } from '../../words/names.ts';
import { stageName } from '../app/bar-parts.ts';
import type { OnRack, View } from '../app/screen.ts';
import { CodeText } from '../parts/code-text.tsx';

/** The pairs that stand on a rack, and what one touch would do with each at this bench. */
export function RackPage({ pairs, view }: { readonly pairs: readonly OnRack[]; readonly view: View }) {
  if (pairs.length === 0) return <p class="quiet">{rackWords.empty}</p>;
  return (
    <ul class="open-list rack-list">
      {pairs.map(({ pair, state, stage, can }) => (
        <li key={pair} class={can}>
          <CodeText code={pair} checked={pair.startsWith('P')} as="span" />
          <small>
            {state.details === null ? cardLabels.unknown : jobNames[state.details.job]} ·{' '}
            {stageName(view, stage)}
            {' · '}
            {rackWords[can]}
          </small>
        </li>
      ))}
    </ul>
  );
}
