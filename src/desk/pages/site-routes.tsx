/** The routes as one table: stages down in the usual order, kinds of job across, and what must come first. */
import { Fragment } from 'preact';
import { useState } from 'preact/hooks';
import type { StageCode } from '../../domain/ids.ts';
import type { Instant } from '../../domain/instant.ts';
import { JOBS } from '../../domain/record/kinds.ts';
import { routesNow } from '../../domain/site-book.ts';
import type { RoutesDraft } from '../../domain/site-change-draft.ts';
import { hasStage, routesToChange } from '../../domain/site-change-routes.ts';
import { stageIn, stageName } from '../../domain/site-change-stages.ts';
import type { StepNeed } from '../../domain/site-routes.ts';
import { jobNames } from '../../words/names.ts';
import { site } from '../../words/site.ts';
import type { SiteDrafting } from './site-drafting.ts';
import { FaultNote } from './site-fault.tsx';
import { OwnStageForm } from './site-own-stage.tsx';
import { StageEditor } from './site-stage-editor.tsx';
import { TakeButton } from './site-take.tsx';
import { WaysSection } from './site-ways.tsx';

const COLUMNS = JOBS.length + 2;

export function RoutesTab({ drafting, now }: { drafting: SiteDrafting; now: Instant }) {
  const [open, setOpen] = useState<StageCode | null>(null);
  const { book } = drafting;
  const routes = routesToChange(book);
  const version = routesNow(book);
  return (
    <>
      <p class="desk-calm site-intro">
        {version === null ? site.noRoutes : site.version(version.version, version.since, now, book.timeZone)}{' '}
        {site.keepsVersion} {site.seed}
      </p>
      <table class="site-routes">
        <thead>
          <tr>
            <th scope="col">{site.stage}</th>
            {JOBS.map((job) => (
              <th key={job} scope="col" class="site-job">
                {jobNames[job]}
              </th>
            ))}
            <th scope="col">{site.mustComeFirst}</th>
          </tr>
        </thead>
        <tbody>
          {routes.steps.map(({ stage, need }) => (
            <Fragment key={stage}>
              <StageRow
                drafting={drafting}
                stage={stage}
                takes={need}
                needs={routes.needs}
                open={open === stage}
                onOpen={() => setOpen(open === stage ? null : stage)}
              />
              {drafting.faultsAt(stage).length > 0 && (
                <tr class="site-under">
                  <td colSpan={COLUMNS}>
                    <FaultNote faults={drafting.faultsAt(stage)} book={book} />
                  </td>
                </tr>
              )}
              {open === stage && (
                <tr class="site-under">
                  <td colSpan={COLUMNS}>
                    <StageEditor drafting={drafting} stage={stage} onClose={() => setOpen(null)} />
                  </td>
                </tr>
              )}
            </Fragment>
          ))}
        </tbody>
      </table>
      <div class="site-below">
        <WaysSection drafting={drafting} />
        <div>
          <OwnStageForm drafting={drafting} />
          <GoneStages drafting={drafting} routes={routes} />
        </div>
      </div>
    </>
  );
}

interface RowProps {
  readonly drafting: SiteDrafting;
  readonly stage: StageCode;
  readonly takes: readonly StepNeed[];
  readonly needs: RoutesDraft['needs'];
  readonly open: boolean;
  readonly onOpen: () => void;
}

function StageRow({ drafting, stage, takes, needs, open, onOpen }: RowProps) {
  const { book } = drafting;
  const name = stageName(book, stage);
  const off = takes.every((need) => need === 'never');
  return (
    <tr class={off ? 'site-off' : undefined}>
      <th scope="row">
        <button type="button" class="site-name" aria-expanded={open} onClick={onOpen}>
          {name}
        </button>{' '}
        <span class="site-code">
          {stage}
          {stageIn(book, stage)?.machine === true && ` · ${site.onMachine}`}
        </span>
      </th>
      {JOBS.map((job, index) => (
        <td key={job} class="site-job">
          <TakeButton
            name={name}
            job={job}
            need={takes[index] ?? 'never'}
            disabled={!drafting.canChange}
            onTake={(need) => drafting.change(stage, { change: 'take-stage', stage, job, need })}
          />
        </td>
      ))}
      <td class="site-needs">
        <NeedsInWords drafting={drafting} needs={needs.filter((need) => need.stage === stage)} />
      </td>
    </tr>
  );
}

function NeedsInWords({ drafting, needs }: Pick<RowProps, 'drafting' | 'needs'>) {
  const names = (kind: 'hard' | 'usual') =>
    needs
      .filter((need) => need.kind === kind)
      .map((need) => stageName(drafting.book, need.needs))
      .join(', ');
  const [hard, usual] = [names('hard'), names('usual')];
  return (
    <>
      {hard === '' ? <span class="desk-calm">{site.needsNothing}</span> : hard}
      {usual !== '' && (
        <span class="desk-calm">
          {' '}
          · {site.usually} {usual}
        </span>
      )}
    </>
  );
}

/** Stages that the book knows and no route has: a tap brings one back where it stood. */
function GoneStages({ drafting, routes }: { drafting: SiteDrafting; routes: RoutesDraft }) {
  const gone = drafting.book.stages.filter(({ code }) => !hasStage(routes, code));
  if (gone.length === 0) return null;
  return (
    <section class="site-gone">
      <h2>{site.gone}</h2>
      <p class="desk-calm">{site.goneHint}</p>
      <ul>
        {gone.map(({ code, name }) => (
          <li key={code}>
            <span>
              {name} <span class="site-code">{code}</span>
            </span>
            <button
              type="button"
              disabled={!drafting.canChange}
              onClick={() => drafting.change(`gone ${code}`, { change: 'bring-back-stage', stage: code })}
            >
              {site.bringBack}
            </button>
            <FaultNote faults={drafting.faultsAt(`gone ${code}`)} book={drafting.book} />
          </li>
        ))}
      </ul>
    </section>
  );
}
