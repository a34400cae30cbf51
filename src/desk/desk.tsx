/** The desk's composition root: joins ledger, server and pages. Loaded on demand at /desk and below. */
import { render } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { broken } from '../words/bench.ts';
import { deskHead, live } from '../words/desk.ts';
import { pageAt } from './address.ts';
import { deskApi, type Trouble } from './api.ts';
import { Slots } from './desk-store.ts';
import './desk.css';
import { Live } from './live.tsx';
import { draftKeeping } from './logging/draft-keeping.ts';
import { LogPage } from './pages/log-page.tsx';
import { SetUpPage } from './pages/set-up-page.tsx';
import { ShiftPage } from './pages/shift-page.tsx';
import { SitePage } from './pages/site-page.tsx';
import { WhereaboutsPage } from './pages/whereabouts-page.tsx';
import { DeskHead } from './parts/desk-head.tsx';
import { type Print, printTickets } from './printing.ts';
import { type DeskState, RunningDesk } from './running-desk.ts';
import { codeInHash } from './set-up-code.ts';
import { timers } from './timers.ts';

const keeping = draftKeeping(new Slots(() => localStorage));
const api = deskApi((...request) => fetch(...request));

/** Shows the desk in `root`. @returns what takes it away again and ends all it has running */
export function mountDesk(root: HTMLElement): () => void {
  document.title = `${live.page} · Waxend`;
  const offered = takeCodeFromAddress();
  let desk: RunningDesk | null = null;
  const draw = (state: DeskState) => {
    if (desk !== null) render(<Desk desk={desk} state={state} offered={offered} />, root);
  };
  desk = new RunningDesk(api, timers, draw);
  draw({ is: 'starting' });
  void desk.start();
  return () => {
    desk?.close();
    render(null, root);
  };
}

/** The code leaves the address at once: it must not stay in the history or a bookmark. */
function takeCodeFromAddress(): string | null {
  const code = codeInHash(location.hash);
  if (code !== null) history.replaceState(history.state, '', location.pathname + location.search);
  return code;
}

interface Props {
  readonly desk: RunningDesk;
  readonly state: DeskState;
  readonly offered: string | null;
}

function Desk({ desk, state, offered }: Props) {
  // Figures may be refused while the ledger's own talk with the server has not come round to it.
  const [shutOut, setShutOut] = useState<Trouble | null>(null);
  useEffect(() => {
    const stir = () => desk.stir();
    window.addEventListener('pointerdown', stir);
    window.addEventListener('keydown', stir);
    return () => {
      window.removeEventListener('pointerdown', stir);
      window.removeEventListener('keydown', stir);
    };
  }, [desk]);

  const why = state.is === 'not-set-up' ? state.why : shutOut;
  if (state.is === 'not-set-up' || shutOut !== null) {
    const enrol = async (token: string) => {
      const answer = await desk.enrol(token);
      if (answer.ok) setShutOut(null);
      return answer;
    };
    return <SetUpPage key={why} offered={why === null ? offered : null} why={why} enrol={enrol} />;
  }
  if (state.is === 'open') return <OpenDesk desk={desk} state={state} onShutOut={setShutOut} />;
  return (
    <main class="desk">
      <h1>{live.page}</h1>
      <p class="desk-sentence">
        {state.is === 'starting' ? deskHead.starting : deskHead.unusable(troubleLine(state.trouble))}
      </p>
    </main>
  );
}

interface OpenProps {
  readonly desk: RunningDesk;
  readonly state: Extract<DeskState, { is: 'open' }>;
  readonly onShutOut: (why: Trouble) => void;
}

function OpenDesk({ desk, state: { office, setUp }, onShutOut }: OpenProps) {
  const [page, setPage] = useState(() => pageAt(location.pathname));
  useEffect(() => {
    const moved = () => setPage(pageAt(location.pathname));
    window.addEventListener('popstate', moved);
    return () => window.removeEventListener('popstate', moved);
  }, []);
  useEffect(() => {
    document.title = `${deskHead.names[page]} · Waxend`;
  }, [page]);
  const print: Print = (papers) => printTickets(papers, office.book.ticketPattern);

  return (
    <>
      <DeskHead office={office} page={page} onSeat={(who) => desk.seat(who)} />
      {page === 'now' && <Live office={office} setUp={setUp} api={api} onShutOut={onShutOut} />}
      {page === 'shift' && <ShiftPage office={office} ways={{ api, setUp }} />}
      {page === 'log' && (
        <LogPage
          office={office}
          keeping={keeping}
          print={print}
          keepPhoto={desk.keepPhoto}
          photoUrl={desk.photoUrl}
          onSeat={(who) => desk.seat(who)}
        />
      )}
      {page === 'where' && (
        <WhereaboutsPage
          office={office}
          print={print}
          recordsOf={desk.recordsOf}
          photoUrl={desk.photoUrl}
          ways={{ api, setUp }}
        />
      )}
      {page === 'site' && <SitePage office={office} setUp={setUp} api={api} />}
    </>
  );
}

function troubleLine(trouble: string) {
  return broken[trouble] ?? { says: live.page, next: trouble };
}
