/** The shift as it stands: one sentence, one table, what is open, what must be put right. */
import type { Instant } from '../../domain/instant.ts';
import { deskTroubles, firstSentence, live, stopped } from '../../words/desk.ts';
import type { DeskNow } from '../api.ts';
import { type LiveView, serverTime } from '../live-desk.ts';
import type { Office } from '../office.ts';
import { LookList } from '../parts/look-list.tsx';
import { MachineList } from '../parts/machine-list.tsx';
import { OpenTable } from '../parts/open-table.tsx';
import { PutRight } from '../parts/put-right.tsx';
import { StageTable } from '../parts/stage-table.tsx';
import { putRightList } from '../put-right-acts.ts';
import { fullBar, openRows, overview, stageRows } from '../rows.ts';

interface Props {
  readonly office: Office;
  readonly view: LiveView;
  /** This machine's clock: ages grow by it between two answers. */
  readonly at: Instant;
}

export function LivePage({ office, view, at }: Props) {
  const { figures, facts, trouble } = view;
  if (figures === null) return <NoFigures office={office} view={view} />;
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
        <Sentence now={now} view={view} clock={clock} office={office} />
      </div>
      <div class="desk-columns">
        <div class="desk-side">
          <StageTable
            rows={stageRows(now)}
            full={fullBar(now)}
            foot={live.foot(closingName(now, view), now.shift !== null)}
          />
          <MachineList office={office} />
        </div>
        <div class="desk-side">
          <OpenTable rows={openRows(now)} now={clock} zone={zone} />
          <PutRight office={office} />
          <LookList office={office} />
        </div>
      </div>
    </main>
  );
}

/** What is to be put right is counted as the list below has it; what is still clocked in has a clause of its own. */
function Sentence({ now, view, clock, office }: Omit<Props, 'at'> & { now: DeskNow; clock: Instant }) {
  const facts = overview(now, view.facts.closingStage);
  const toPutRight = putRightList(office).filter(({ kind }) => kind !== 'left-open' || facts.left === null);
  const pieces = firstSentence({ ...facts, toPutRight: toPutRight.length }, clock, view.facts.timeZone);
  return (
    <p class="desk-sentence">
      {pieces.map(({ text, stress }, index) => [index > 0 && ' ', stress ? <b key={text}>{text}</b> : text])}
    </p>
  );
}

/** What the desk's own ledger tells is there all the same. */
function NoFigures({ office, view: { facts, trouble } }: Omit<Props, 'at'>) {
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
      <PutRight office={office} />
      <LookList office={office} />
      <MachineList office={office} />
    </main>
  );
}

function closingName(now: DeskNow, { facts }: LiveView): string | null {
  return now.stages.find(({ stage }) => stage === facts.closingStage)?.name ?? null;
}
