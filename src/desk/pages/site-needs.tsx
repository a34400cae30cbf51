/** What one stage waits for: each need by name, must or habit, to be added and taken away. */
import { useState } from 'preact/hooks';
import { asStageCode, type StageCode } from '../../domain/ids.ts';
import { routesToChange } from '../../domain/site-change-routes.ts';
import { stageName } from '../../domain/site-change-stages.ts';
import { site } from '../../words/site.ts';
import type { SiteDrafting } from './site-drafting.ts';
import { StageOptions } from './site-stage-options.tsx';

export function NeedsEditor({ drafting, stage }: { drafting: SiteDrafting; stage: StageCode }) {
  const [chosen, setChosen] = useState('');
  const { book, canChange } = drafting;
  const needs = routesToChange(book).needs.filter((need) => need.stage === stage);
  const set = (earlier: StageCode, kind: 'hard' | 'usual' | null) =>
    drafting.change(stage, { change: 'need', stage, needs: earlier, kind });
  const add = (kind: 'hard' | 'usual') => {
    if (chosen !== '' && set(asStageCode(chosen), kind)) setChosen('');
  };
  return (
    <div class="site-form">
      <h3>{site.waitsFor}</h3>
      <ul class="site-chips">
        {needs.length === 0 && <li class="desk-calm">{site.needsNothing}</li>}
        {needs.map(({ needs: earlier, kind }) => {
          const name = stageName(book, earlier);
          return (
            <li key={earlier} class={kind === 'usual' ? 'site-chip site-chip-usual' : 'site-chip'}>
              <button
                type="button"
                title={site.needTitle(kind)}
                aria-label={kind === 'hard' ? site.makeUsual(name) : site.makeHard(name)}
                disabled={!canChange}
                onClick={() => set(earlier, kind === 'hard' ? 'usual' : 'hard')}
              >
                {kind === 'usual' && `${site.usually} `}
                {name}
              </button>
              <button
                type="button"
                class="site-away"
                aria-label={site.takeNeedAway(name, stageName(book, stage))}
                disabled={!canChange}
                onClick={() => set(earlier, null)}
              >
                ×
              </button>
            </li>
          );
        })}
      </ul>
      <label>
        {site.addNeed}
        <select
          value={chosen}
          disabled={!canChange}
          onChange={(event) => setChosen(event.currentTarget.value)}
        >
          <option value="">{site.chooseStage}</option>
          <StageOptions drafting={drafting} except={[stage, ...needs.map((need) => need.needs)]} />
        </select>
      </label>
      <div class="site-buttons">
        <button type="button" disabled={!canChange || chosen === ''} onClick={() => add('hard')}>
          {site.addNeedHard}
        </button>
        <button type="button" disabled={!canChange || chosen === ''} onClick={() => add('usual')}>
          {site.addNeedUsual}
        </button>
      </div>
    </div>
  );
}
