/** The frame of every form that records something: it says that it did only once it has. */
import type { ComponentChildren } from 'preact';
import { useRef, useState } from 'preact/hooks';
import { LedgerFailure } from '../../tablet/ledger/ledger.ts';
import { troubles } from '../../words/bench.ts';
import { stopped } from '../../words/desk.ts';
import { actWords } from '../../words/whereabouts-acts.ts';
import type { Act, Office } from '../office.ts';
import type { Prepared } from '../whereabouts-acts.ts';

interface Props {
  readonly title: string;
  readonly office: Office;
  readonly prepare: () => Prepared;
  readonly onMade: () => void;
  readonly onClose: () => void;
  readonly submit?: string | undefined;
  readonly children: ComponentChildren;
}

export function RecordForm({ title, office, prepare, onMade, onClose, submit, children }: Props) {
  const [busy, setBusy] = useState(false);
  const [says, setSays] = useState<string | null>(null);
  const tried = useRef<readonly Act[] | null>(null);
  const record = async () => {
    if (busy) return;
    if (office.at === null) return setSays(actWords.nobody);
    const prepared = prepare();
    if (prepared.is === 'missing') return setSays(prepared.says);
    tried.current = sameAs(tried.current, prepared.acts);
    setBusy(true);
    setSays(actWords.recording);
    try {
      await office.record(tried.current);
    } catch (cause) {
      setBusy(false);
      return setSays(notMade(cause));
    }
    setBusy(false);
    setSays(null);
    onMade();
  };
  return (
    <form
      class="pair-form"
      aria-label={title}
      onSubmit={(event) => {
        event.preventDefault();
        void record();
      }}
    >
      <h4>{title}</h4>
      {children}
      <p class="pair-form-says" role="alert">
        {says}
      </p>
      <div class="pair-form-ends">
        <button type="submit" class="pair-strong" aria-disabled={busy || office.at === null}>
          {submit ?? actWords.record}
        </button>
        <button type="button" onClick={onClose}>
          {actWords.close}
        </button>
      </div>
    </form>
  );
}

/** What failed half-known is tried again as the very same acts, so that it can never be recorded twice. */
function sameAs(before: readonly Act[] | null, now: readonly Act[]): readonly Act[] {
  return before !== null && JSON.stringify(before) === JSON.stringify(now) ? before : now;
}

function notMade(cause: unknown): string {
  const line = cause instanceof LedgerFailure ? troubles[cause.trouble] : undefined;
  return line === undefined
    ? actWords.notMade
    : `${actWords.notMade} ${stopped(line.says)} ${stopped(line.next)}`;
}
