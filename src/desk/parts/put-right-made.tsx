/** What has just been recorded, with the way back for a while; and what could not be. */
import { useEffect, useRef, useState } from 'preact/hooks';
import { nameOf } from '../../domain/site-book.ts';
import { LedgerFailure } from '../../tablet/ledger/ledger.ts';
import { troubles } from '../../words/bench.ts';
import { stopped } from '../../words/desk.ts';
import { putRightWords } from '../../words/put-right.ts';
import { actWords } from '../../words/whereabouts-acts.ts';
import type { Act, Office } from '../office.ts';
import { mayPutRight, undoOf } from '../put-right-acts.ts';
import type { Prepared } from '../whereabouts-acts.ts';

/** How long the way back is offered; after that the pair's page has it. */
const UNDO_MS = 60_000;

export interface Made {
  readonly says: string;
  readonly undo: readonly Act[];
}

export interface SettlingNow {
  readonly busy: boolean;
  readonly made: Made | null;
  /** Why nothing was recorded; null where it was. */
  readonly problem: string | null;
  /** @param what in few words, for the line that says that it is recorded */
  settle(prepared: Prepared, what: string): Promise<void>;
  takeBack(): Promise<void>;
  /** Another item is looked at: what was wrong with the last is of no matter. */
  forgetProblem(): void;
}

export function useSettling(office: Office): SettlingNow {
  const [busy, setBusy] = useState(false);
  const [made, setMade] = useState<Made | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const tried = useRef<readonly Act[] | null>(null);
  useEffect(() => {
    if (made === null || made.undo.length === 0) return;
    const timer = setTimeout(() => setMade({ ...made, undo: [] }), UNDO_MS);
    return () => clearTimeout(timer);
  }, [made]);

  const record = async (acts: readonly Act[], says: string, canUndo: boolean) => {
    if (busy || !mayPutRight(office.at, office.book)) return;
    tried.current = sameAs(tried.current, acts);
    setBusy(true);
    setProblem(null);
    try {
      const records = await office.record(tried.current);
      tried.current = null;
      setMade({ says, undo: canUndo ? undoOf(records) : [] });
    } catch (cause) {
      setMade(null);
      setProblem(notMade(cause));
    }
    setBusy(false);
  };
  const { at, book } = office;
  return {
    busy,
    made,
    problem,
    settle: async (prepared, what) => {
      if (prepared.is === 'missing') return setProblem(prepared.says);
      await record(prepared.acts, putRightWords.recorded(what, nameOf(book, at) ?? ''), true);
    },
    forgetProblem: () => setProblem(null),
    takeBack: async () => {
      if (made !== null) await record(made.undo, putRightWords.undone, false);
    },
  };
}

export function PutRightMade({ settling: { made, busy, problem, takeBack } }: { settling: SettlingNow }) {
  return (
    <div class="put-right-said">
      <div class="put-right-made" role="status">
        {made !== null && <p>{made.says}</p>}
        {made !== null && made.undo.length > 0 && (
          <button type="button" aria-disabled={busy} onClick={() => void takeBack()}>
            {putRightWords.undo}
          </button>
        )}
      </div>
      <p class="put-right-problem" role="alert">
        {problem}
      </p>
    </div>
  );
}

/** What failed half-known is tried again as the very same acts, so that it can never be recorded twice. */
function sameAs(before: readonly Act[] | null, now: readonly Act[]): readonly Act[] {
  return before !== null && JSON.stringify(before) === JSON.stringify(now) ? before : now;
}

function notMade(cause: unknown): string {
  if (!(cause instanceof LedgerFailure)) throw cause;
  const line = troubles[cause.trouble];
  return line === undefined
    ? actWords.notMade
    : `${actWords.notMade} ${stopped(line.says)} ${stopped(line.next)}`;
}
