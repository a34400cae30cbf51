/** A stage of the site's own, for work that the catalogue does not have. */
import { useState } from 'preact/hooks';
import { asStageCode, type StageCode } from '../../domain/ids.ts';
import { JOBS } from '../../domain/record/kinds.ts';
import { stageName } from '../../domain/site-change-stages.ts';
import type { StepNeed } from '../../domain/site-routes.ts';
import { jobNames } from '../../words/names.ts';
import { site } from '../../words/site.ts';
import type { SiteDrafting } from './site-drafting.ts';
import { FaultNote } from './site-fault.tsx';
import { StageOptions } from './site-stage-options.tsx';
import { TakeButton } from './site-take.tsx';

const WHERE = 'own stage';

interface Typed {
  readonly code: string;
  readonly name: string;
  readonly plain: string;
  readonly before: string;
  readonly takes: readonly StepNeed[];
  readonly needs: readonly StageCode[];
}

const NOTHING: Typed = {
  code: '',
  name: '',
  plain: '',
  before: '',
  takes: JOBS.map(() => 'never'),
  needs: [],
};

export function OwnStageForm({ drafting }: { drafting: SiteDrafting }) {
  const [typed, setTyped] = useState(NOTHING);
  const type = (part: Partial<Typed>) => setTyped({ ...typed, ...part });
  const { book, canChange } = drafting;
  const add = () => {
    const { before, takes, needs } = typed;
    const change = {
      ...typed,
      change: 'add-stage' as const,
      before: before === '' ? null : asStageCode(before),
      takes: [...takes],
      needs: [...needs],
    };
    if (drafting.change(WHERE, change)) setTyped(NOTHING);
  };
  return (
    <form
      class="site-form"
      onSubmit={(event) => {
        event.preventDefault();
        add();
      }}
    >
      <h2>{site.ownStage}</h2>
      <p class="desk-calm">{site.ownStageHint}</p>
      <fieldset disabled={!canChange}>
        <div class="site-code-and-name">
          <label>
            {site.code}
            <input
              value={typed.code}
              maxLength={8}
              autocapitalize="characters"
              spellcheck={false}
              onInput={(event) => type({ code: event.currentTarget.value.toUpperCase() })}
            />
          </label>
          <label>
            {site.name}
            <input
              value={typed.name}
              maxLength={60}
              onInput={(event) => type({ name: event.currentTarget.value })}
            />
          </label>
        </div>
        <label>
          {site.plain}
          <input
            value={typed.plain}
            maxLength={80}
            onInput={(event) => type({ plain: event.currentTarget.value })}
          />
        </label>
        <div class="site-two">
          <label>
            {site.standsBefore}
            <select value={typed.before} onChange={(event) => type({ before: event.currentTarget.value })}>
              <option value="">{site.atTheEnd}</option>
              <StageOptions drafting={drafting} />
            </select>
          </label>
          <label>
            {site.waitsFor}
            <select
              value=""
              onChange={(event) => {
                const { value } = event.currentTarget;
                if (value !== '') type({ needs: [...typed.needs, asStageCode(value)] });
              }}
            >
              <option value="">{site.chooseStage}</option>
              <StageOptions drafting={drafting} except={typed.needs} />
            </select>
          </label>
        </div>
        {typed.needs.length > 0 && (
          <ul class="site-chips">
            {typed.needs.map((earlier) => (
              <li key={earlier} class="site-chip">
                <span>{stageName(book, earlier)}</span>
                <button
                  type="button"
                  class="site-away"
                  aria-label={site.takeNeedAway(stageName(book, earlier), typed.name)}
                  onClick={() => type({ needs: typed.needs.filter((one) => one !== earlier) })}
                >
                  ×
                </button>
              </li>
            ))}
          </ul>
        )}
        <p class="site-label">{site.takenBy}</p>
        <div class="site-takes">
          {JOBS.map((job, index) => (
            <div key={job}>
              <span>{jobNames[job]}</span>
              <TakeButton
                name={typed.name === '' ? site.ownStage : typed.name}
                job={job}
                need={typed.takes[index] ?? 'never'}
                disabled={!canChange}
                onTake={(need) =>
                  type({ takes: typed.takes.map((one, place) => (place === index ? need : one)) })
                }
              />
            </div>
          ))}
        </div>
      </fieldset>
      <FaultNote faults={drafting.faultsAt(WHERE)} book={book} />
      <div class="site-buttons">
        <button type="submit" class="site-main" disabled={!canChange}>
          {site.add}
        </button>
      </div>
    </form>
  );
}
