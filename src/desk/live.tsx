/** Joins the figures of the server to the page that shows them. */
import { useEffect, useState } from 'preact/hooks';
import type { DeskApi, Trouble } from './api.ts';
import { LiveDesk, type LiveView } from './live-desk.ts';
import type { Office } from './office.ts';
import { LivePage } from './pages/live-page.tsx';
import type { SetUp } from './set-up.ts';
import { timers } from './timers.ts';

const AGES_GROW_EVERY_MS = 5_000;
/** With these the key is of no use here: figures go from the page, and the desk is set up again. */
const SHUT_OUT: readonly Trouble[] = ['no-key', 'key-revoked', 'wrong-site', 'other-data', 'not-allowed'];

interface Props {
  readonly office: Office;
  readonly setUp: SetUp;
  readonly api: DeskApi;
  readonly onShutOut: (why: Trouble) => void;
}

export function Live({ office, setUp, api, onShutOut }: Props) {
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
  }, [setUp, api, onShutOut]);

  return <LivePage office={office} view={view} at={at} />;
}
