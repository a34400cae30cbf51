import { nameOf } from '../../domain/site-book.ts';
import { readyLabels } from '../../words/bench.ts';
import { when } from '../../words/format.ts';
import type { Acts } from '../app/acts.ts';
import { stageName } from '../app/bar-parts.ts';
import type { View } from '../app/screen.ts';
import { CodeText } from './code-text.tsx';

/** The pairs that are clocked in at this bench, whoever did it. */
export function OpenList({ view, acts }: { readonly view: View; readonly acts: Acts }) {
  if (view.open.length === 0) return <p class="quiet">{readyLabels.noneOpen}</p>;
  const zone = view.book?.timeZone ?? 'UTC';
  return (
    <section>
      <h2 class="section">{readyLabels.openHere}</h2>
      <ul class="open-list">
        {view.open.map(({ spell, pair, stage, by, from }) => (
          <li key={spell}>
            <button type="button" class="button" onClick={() => acts.openPair(pair)}>
              <CodeText code={pair} checked={pair.startsWith('P')} as="span" />
              <small>
                {stageName(view, stage)}, {readyLabels.since(when(from, view.now, zone))}
                {by === null || by === view.on?.id || view.book === null
                  ? null
                  : ` · ${nameOf(view.book, by) ?? ''}`}
              </small>
            </button>
          </li>
        ))}
      </ul>
    </section>
  );
}
