import { readyLabels } from '../../words/bench.ts';
import { clockTime } from '../../words/format.ts';
import type { View } from '../app/screen.ts';
import { CodeText } from './code-text.tsx';

/** What whoever is on has finished here this shift: the count, and the last few to look back at. */
export function DoneList({ view }: { readonly view: View }) {
  const zone = view.book?.timeZone ?? 'UTC';
  return (
    <section>
      <p class="tally">
        <b>{view.doneThisShift}</b> {readyLabels.doneThisShift}
      </p>
      <ul class="done-list" aria-label={readyLabels.doneHere}>
        {view.doneLast.map(({ record, pair, at }) => (
          <li key={record}>
            <CodeText code={pair} checked={pair.startsWith('P')} />
            <small>{readyLabels.clockedOut(clockTime(at, zone))}</small>
          </li>
        ))}
      </ul>
    </section>
  );
}
