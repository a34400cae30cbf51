import { HOUR_MS } from '../../domain/instant.ts';
import { actions, keptHere, keptTooLong, readyLabels, refusedHere } from '../../words/bench.ts';
import type { Acts } from '../app/acts.ts';
import { stageName } from '../app/bar-parts.ts';
import type { View } from '../app/screen.ts';

/** Records that have waited so long want somebody to look, while there is somebody. */
export const LATE_MS = 4 * HOUR_MS;

/** Which bench this is, who is on, and whether records wait for the server: calm while they do. */
export function Header({ view, acts }: { readonly view: View; readonly acts: Acts }) {
  const { outbox, now, on } = view;
  const isSetUp = view.book !== null;
  const oldestMs = outbox.oldestAt === null ? null : now - outbox.oldestAt;
  const late = on !== null && oldestMs !== null && oldestMs >= LATE_MS;
  const kept = late ? keptTooLong(outbox.waiting, oldestMs) : keptHere(outbox.waiting, oldestMs);
  return (
    <header class="head">
      <h1>{titleOf(view)}</h1>
      {isSetUp ? (
        <button
          type="button"
          class={late ? 'kept late' : 'kept'}
          onClick={() => acts.settings()}
          aria-label={`${kept}. ${actions.settings}`}
        >
          <svg width="24" height="24" viewBox="0 0 24 24" aria-hidden="true">
            {outbox.waiting === 0 ? (
              <path d="M4 12l5 6L20 6" fill="none" stroke="#0b6350" stroke-width="4" />
            ) : (
              <path
                d={late ? 'M12 2l11 20H1zM12 9v6M12 17v2' : 'M12 2l10 10-10 10L2 12z'}
                fill="none"
                stroke={late ? '#8a4b00' : '#5c534a'}
                stroke-width="3"
              />
            )}
          </svg>
          {outbox.refused > 0 ? refusedHere(outbox.refused) : kept}
        </button>
      ) : null}
      <p class="who">
        {on === null ? (
          <small>{view.book?.name ?? ''}</small>
        ) : (
          <>
            <b>{on.name}</b>
            <small>
              {view.open.length} open · {view.doneThisShift} {readyLabels.doneThisShift}
            </small>
          </>
        )}
      </p>
    </header>
  );
}

function titleOf(view: View): string {
  if (view.screen.is === 'card') return stageName(view, view.screen.card.stage);
  const [only, ...others] = view.stages;
  if (only !== undefined && others.length === 0) return stageName(view, only);
  return view.benchName === '' ? 'Waxend' : view.benchName;
}
