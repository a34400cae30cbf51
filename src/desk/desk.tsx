/** The desk's composition root: joins keeping, server and pages. Loaded on demand at /desk. */
import { render } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { live } from '../words/desk.ts';
import { deskApi, type Trouble } from './api.ts';
import './desk.css';
import { keepingIn, type SetUp } from './keeping.ts';
import { LiveDesk, type LiveView } from './live-desk.ts';
import type { Timers } from './pace.ts';
import { LivePage } from './pages/live-page.tsx';
import { SetUpPage } from './pages/set-up-page.tsx';
import { codeInHash } from './set-up-code.ts';

const AGES_GROW_EVERY_MS = 5_000;
/** With these the key is of no use here: figures go from the page, and the desk is set up again. */
const SHUT_OUT: readonly Trouble[] = ['no-key', 'key-revoked', 'wrong-site', 'other-data', 'not-allowed'];

const keeping = keepingIn(() => localStorage);
const api = deskApi((...request) => fetch(...request));
const timers: Timers = {
  // Not `performance.now`, which may stand still while the machine sleeps, and ages must not.
  now: () => Date.now(),
  later: (run, ms) => {
    const timer = setTimeout(run, ms);
    return () => clearTimeout(timer);
  },
};

/** Shows the desk in `root`. @returns what takes it away again and ends all it has running */
export function mountDesk(root: HTMLElement): () => void {
  document.title = `${live.page} · Waxend`;
  render(<Desk offered={takeCodeFromAddress()} />, root);
  return () => render(null, root);
}

/** The code leaves the address at once: it must not stay in the history or a bookmark. */
function takeCodeFromAddress(): string | null {
  const code = codeInHash(location.hash);
  if (code !== null) history.replaceState(history.state, '', location.pathname + location.search);
  return code;
}

function Desk({ offered }: { offered: string | null }) {
  const [setUp, setSetUp] = useState(keeping.read);
  const [why, setWhy] = useState<Trouble | null>(null);
  if (setUp === null || why !== null) {
    const onSetUp = (fresh: SetUp) => {
      setSetUp(fresh);
      setWhy(null);
    };
    return <SetUpPage offered={offered} why={why} enrol={enrol} onSetUp={onSetUp} />;
  }
  return <Live setUp={setUp} onShutOut={setWhy} />;
}

async function enrol(token: string) {
  if (!keeping.keeps()) return null;
  const persisted = (await navigator.storage?.persist?.().catch(() => null)) ?? null;
  const answer = await api.enrol(token, persisted);
  if (answer.ok) keeping.write(answer.value);
  return answer;
}

function Live({ setUp, onShutOut }: { setUp: SetUp; onShutOut: (why: Trouble) => void }) {
  const [view, setView] = useState<LiveView>({
    facts: setUp.facts,
    figures: null,
    trouble: null,
    live: false,
  });
  const [at, setAt] = useState(timers.now);

  useEffect(() => {
    const onView = (next: LiveView) => {
      if (next.trouble !== null && SHUT_OUT.includes(next.trouble)) return onShutOut(next.trouble);
      if (next.facts.version !== setUp.facts.version) keeping.write({ ...setUp, facts: next.facts });
      setView(next);
      setAt(timers.now());
    };
    const desk = new LiveDesk({ api, setUp, timers, onView });
    const askAgain = () => {
      if (document.visibilityState === 'visible') desk.ask();
    };
    const ages = setInterval(() => setAt(timers.now()), AGES_GROW_EVERY_MS);
    document.addEventListener('visibilitychange', askAgain);
    window.addEventListener('online', askAgain);
    desk.start();
    return () => {
      desk.stop();
      clearInterval(ages);
      document.removeEventListener('visibilitychange', askAgain);
      window.removeEventListener('online', askAgain);
    };
  }, [setUp, onShutOut]);

  return <LivePage view={view} at={at} />;
}
