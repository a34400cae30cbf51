import { Fragment } from 'preact';
import { useState } from 'preact/hooks';
import { CLOCK_DOUBTFUL_MS } from '../../domain/clock-offset.ts';
import type { StageCode } from '../../domain/ids.ts';
import { actions } from '../../words/bench.ts';
import { count, length, when } from '../../words/format.ts';
import { settingsWords as words } from '../../words/settings.ts';
import type { Acts, CameraView } from '../app/acts.ts';
import type { View } from '../app/screen.ts';
import { GlossaryList } from '../parts/glossary-list.tsx';
import { type OutboxHere, OutboxList } from '../parts/outbox-list.tsx';

export interface SettingsProps {
  readonly view: View;
  readonly acts: Acts;
  readonly camera: CameraView;
  readonly version: string;
  /** Reads what is kept here and not at the server. */
  readonly outbox?: (() => Promise<OutboxHere>) | undefined;
}

/** The bench's stages, and what this tablet knows of itself: storage, outbox, server, clock. */
export function SettingsPage({ view, acts, camera, version, outbox }: SettingsProps) {
  const unsent = view.outbox.waiting + view.outbox.refused;
  return (
    <div class="settings">
      <StageChoices view={view} acts={acts} />
      <h2 class="section">{words.tablet}</h2>
      <dl>
        {rows(view, camera, version).map(([label, value]) => (
          <Fragment key={label}>
            <dt>{label}</dt>
            <dd>{value}</dd>
          </Fragment>
        ))}
      </dl>
      {outbox === undefined || unsent === 0 ? null : (
        <OutboxList open={outbox} count={unsent} now={view.now} zone={view.book?.timeZone ?? 'UTC'} />
      )}
      <h2 class="section">{words.words}</h2>
      <GlossaryList />
      {view.updateReady ? (
        <button type="button" class="button strong" onClick={() => acts.updateNow()}>
          {actions.updateNow}
        </button>
      ) : null}
    </div>
  );
}

function rows(view: View, camera: CameraView, version: string): readonly (readonly [string, string])[] {
  const { outbox, link, now, storage, book } = view;
  const zone = book?.timeZone ?? 'UTC';
  const reached = link.lastAt === null ? '' : `, ${when(link.lastAt, now, zone)}`;
  return [
    [words.bench, view.benchName],
    [words.storage, words.storageAnswers[storage]],
    [
      words.outbox,
      outbox.waiting === 0
        ? '0'
        : `${count(outbox.waiting, 'record')}, oldest ${length(now - (outbox.oldestAt ?? now))}`,
    ],
    ...(outbox.refused > 0 ? ([[words.refused, count(outbox.refused, 'record')]] as const) : []),
    [words.server, `${words.serverStates[link.is]}${reached}${link.why === null ? '' : ` (${link.why})`}`],
    [words.clock, clockLine(view)],
    [words.decoder, camera.decoder ?? '–'],
    [words.version, version],
  ];
}

function clockLine({ clock }: View): string {
  if (!clock.known) return words.clockUnknown;
  if (Math.abs(clock.offsetMs) < CLOCK_DOUBTFUL_MS) return words.clockRight;
  return words.clockWrong(length(Math.abs(clock.offsetMs)), clock.offsetMs > 0 ? 'behind' : 'ahead');
}

function StageChoices({ view, acts }: Pick<SettingsProps, 'view' | 'acts'>) {
  const [chosen, setChosen] = useState<ReadonlySet<StageCode>>(new Set(view.stages));
  const toggle = (stage: StageCode) => {
    const next = new Set(chosen);
    if (!next.delete(stage)) next.add(stage);
    setChosen(next);
  };
  return (
    <section>
      <h2 class="section">{words.stages}</h2>
      <p class="quiet">{words.stagesHelp}</p>
      <div class="stage-choices">
        {(view.book?.stages ?? []).map(({ code, name }) => (
          <button
            key={code}
            type="button"
            class="button"
            aria-pressed={chosen.has(code)}
            onClick={() => toggle(code)}
          >
            <svg width="26" height="26" viewBox="0 0 26 26" aria-hidden="true">
              <path
                d={chosen.has(code) ? 'M3 13l7 8L23 5' : 'M3 3h20v20H3z'}
                fill="none"
                stroke="currentColor"
                stroke-width={chosen.has(code) ? 4 : 2}
              />
            </svg>
            {name}
          </button>
        ))}
      </div>
      <p>
        <button
          type="button"
          class="button strong"
          disabled={chosen.size === 0 || chosen.size > 12}
          onClick={() => acts.setStages([...chosen])}
        >
          {actions.setStages}
        </button>
      </p>
      <p class="quiet">{words.newCode}</p>
    </section>
  );
}
