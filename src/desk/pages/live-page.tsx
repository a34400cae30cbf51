/** The shift as it stands: one sentence, one table, what is open, what must be put right. */
import type { Instant } from '../../domain/instant.ts';
import { deskTroubles, firstSentence, live, stopped } from '../../words/desk.ts';
import type { DeskNow } from '../api.ts';
import { type LiveView, serverTime } from '../live-desk.ts';
import { FlagList } from '../parts/flag-list.tsx';
import { OpenTable } from '../parts/open-table.tsx';
import { StageTable } from '../parts/stage-table.tsx';
import { fullBar, openRows, overview, stageRows } from '../rows.ts';

/** @param at this machine's clock: ages grow by it between two answers */
export function LivePage({ view, at }: { view: LiveView; at: Instant }) {
  const { figures, facts, trouble } = view;
  if (figures === null) return <NoFigures view={view} />;
  const { now } = figures;
  const clock = serverTime(view, at);
  const zone = facts.timeZone;
  const got = now.state.clock.answeredAt;
  return (
    <main class={trouble === null ? 'desk' : 'desk desk-old'}>
      <header class="desk-head">
        <h1>{live.heading(now.shift?.name ?? null, now.shift?.from ?? clock, zone)}</h1>
        <p class="desk-place">
          {now.shift !== null && <span>{live.hours(now.shift.from, now.shift.to, zone)}</span>}
          <span>{facts.name}</span>
        </p>
        {trouble === null && <p class="desk-fresh">{live.upToDate(got, zone, view.live)}</p>}
      </header>
      <div role="status" aria-atomic="true">
        {trouble !== null && (
          <p class="desk-trouble">
            <b>{stopped(deskTroubles[trouble].says)}</b> {live.figuresOf(got, clock, zone)}
            {/* The age grows by itself, and is no news to be read out each minute. */}
            <span aria-hidden="true">, {live.old(Math.max(0, clock - got))}</span>.{' '}
            <span class="desk-next">{stopped(deskTroubles[trouble].next)}</span>
          </p>
        )}
        <Sentence now={now} view={view} clock={clock} />
      </div>
      <div class="desk-columns">
        <StageTable
          rows={stageRows(now)}
          full={fullBar(now)}
          foot={live.foot(closingName(now, view), now.shift !== null)}
        />
        <div class="desk-side">
          <OpenTable rows={openRows(now)} now={clock} zone={zone} />
          <FlagList flags={now.flags} />
        </div>
      </div>
    </main>
  );
}

function Sentence({ now, view, clock }: { now: DeskNow; view: LiveView; clock: Instant }) {
  const pieces = firstSentence(overview(now, view.facts.closingStage), clock, view.facts.timeZone);
  return (
    <p class="desk-sentence">
      {pieces.map(({ text, stress }, index) => [index > 0 && ' ', stress ? <b key={text}>{text}</b> : text])}
    </p>
  );
}

function NoFigures({ view: { facts, trouble } }: { view: LiveView }) {
  return (
    <main class="desk">
      <header class="desk-head">
        <h1>{facts.name}</h1>
      </header>
      <p class="desk-sentence" role="status">
        {trouble === null ? live.waiting : <b>{stopped(deskTroubles[trouble].says)}</b>}
      </p>
      {trouble !== null && (
        <p>
          {stopped(live.noFigures)} {stopped(deskTroubles[trouble].next)}
        </p>
      )}
    </main>
  );
}

function closingName(now: DeskNow, { facts }: LiveView): string | null {
  return now.stages.find(({ stage }) => stage === facts.closingStage)?.name ?? null;
}
