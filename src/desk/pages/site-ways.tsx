/** Which stages have a part in the pair's way, and where left and right are matched. */
import { useState } from 'preact/hooks';
import { asStageCode, type StageCode } from '../../domain/ids.ts';
import type { Ways } from '../../domain/site-book.ts';
import { stageName } from '../../domain/site-change-stages.ts';
import { site, wayNames } from '../../words/site.ts';
import type { SiteDrafting } from './site-drafting.ts';
import { FaultNote } from './site-fault.tsx';
import { StageOptions } from './site-stage-options.tsx';

const WHERE = 'ways';
const ONE = ['receive', 'inspect', 'owner', 'check', 'box'] as const satisfies readonly (keyof Ways)[];
const SEVERAL = ['together', 'colour'] as const satisfies readonly (keyof Ways)[];

export function WaysSection({ drafting }: { drafting: SiteDrafting }) {
  const { ways } = drafting.book;
  const set = (part: Partial<Ways>) =>
    drafting.change(WHERE, { change: 'set-ways', ways: { ...ways, ...part } });
  return (
    <section class="site-form">
      <h2>{site.ways}</h2>
      <fieldset disabled={!drafting.canChange}>
        {ONE.map((way) => (
          <StageField
            key={way}
            title={wayNames[way]}
            drafting={drafting}
            value={ways[way]}
            onChoose={(stage) => set({ [way]: stage })}
          />
        ))}
        <Lasts drafting={drafting} onSet={set} />
        {SEVERAL.map((way) => (
          <Several
            key={way}
            drafting={drafting}
            title={wayNames[way]}
            stages={ways[way]}
            onSet={(stages) => set({ [way]: [...stages] })}
          />
        ))}
      </fieldset>
      <FaultNote faults={drafting.faultsAt(WHERE)} book={drafting.book} />
    </section>
  );
}

/** Taking and freeing the last go together: a half choice waits here for its other half. */
function Lasts({ drafting, onSet }: { drafting: SiteDrafting; onSet: (part: Partial<Ways>) => boolean }) {
  const { lastFrom, lastTo } = drafting.book.ways;
  const [half, setHalf] = useState<Pick<Ways, 'lastFrom' | 'lastTo'> | null>(null);
  const shown = half ?? { lastFrom, lastTo };
  const choose = (part: Partial<typeof shown>) => {
    const both = Object.values(part).includes(null)
      ? { lastFrom: null, lastTo: null }
      : { ...shown, ...part };
    const isHalf = (both.lastFrom === null) !== (both.lastTo === null);
    setHalf(isHalf ? both : null);
    if (!isHalf) onSet(both);
  };
  return (
    <>
      <div class="site-two">
        {(['lastFrom', 'lastTo'] as const).map((way) => (
          <StageField
            key={way}
            title={wayNames[way]}
            drafting={drafting}
            value={shown[way]}
            onChoose={(stage) => choose({ [way]: stage })}
          />
        ))}
      </div>
      {half !== null && <p class="desk-calm">{site.lastsHalf}</p>}
    </>
  );
}

interface FieldProps {
  readonly title: string;
  readonly drafting: SiteDrafting;
  readonly value: StageCode | null;
  readonly onChoose: (stage: StageCode | null) => void;
}

function StageField({ title, drafting, value, onChoose }: FieldProps) {
  return (
    <label>
      {title}
      <select
        value={value ?? ''}
        onChange={(event) => {
          const chosen = event.currentTarget.value;
          // What does not stand must not be shown as if it did.
          event.currentTarget.value = value ?? '';
          onChoose(chosen === '' ? null : asStageCode(chosen));
        }}
      >
        <option value="">{site.none}</option>
        <StageOptions drafting={drafting} />
      </select>
    </label>
  );
}

interface SeveralProps {
  readonly drafting: SiteDrafting;
  readonly title: string;
  readonly stages: readonly StageCode[];
  readonly onSet: (stages: readonly StageCode[]) => void;
}

function Several({ drafting, title, stages, onSet }: SeveralProps) {
  return (
    <div class="site-several">
      <p class="site-label">{title}</p>
      <ul class="site-chips">
        {stages.map((stage) => (
          <li key={stage} class="site-chip">
            <span>{stageName(drafting.book, stage)}</span>
            <button
              type="button"
              class="site-away"
              aria-label={site.notFor(stageName(drafting.book, stage), title)}
              onClick={() => onSet(stages.filter((one) => one !== stage))}
            >
              ×
            </button>
          </li>
        ))}
        <li>
          <select
            value=""
            aria-label={title}
            onChange={(event) => {
              const { value } = event.currentTarget;
              if (value !== '') onSet([...stages, asStageCode(value)]);
            }}
          >
            <option value="">{site.addStage}</option>
            <StageOptions drafting={drafting} except={stages} />
          </select>
        </li>
      </ul>
    </div>
  );
}
