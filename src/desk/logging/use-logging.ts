/** The state of the page that logs a pair in: the draft and what follows from it, the saving, the pair once logged. */
import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import type { PairId } from '../../domain/ids.ts';
import type { TicketPaper } from '../../paper/ticket.ts';
import { LedgerFailure } from '../../tablet/ledger/ledger.ts';
import { troubles } from '../../words/bench.ts';
import { logging } from '../../words/logging.ts';
import type { Act, Office } from '../office.ts';
import { ticketPaper, ticketPaperOf } from '../ticket-paper.ts';
import { triageOf } from './decisions.ts';
import type { DraftKeeping } from './draft-keeping.ts';
import { type Problems, problemsOf, type Surroundings, typedTicket } from './draft-problems.ts';
import { loggingActs } from './logging-acts.ts';
import { EMPTY_DRAFT, isEmpty, type LoggingDraft } from './logging-draft.ts';
import { siteDay, usualPromise } from './promise.ts';
import { takeTicketInHand } from './ticket-in-hand.ts';

export interface Logged {
  readonly pair: PairId;
  readonly paper: TicketPaper;
  readonly ownerRef: string;
}

/** What was to be made when saving failed: the same draft makes the very same records when it is tried again. */
interface Tried {
  readonly draft: LoggingDraft;
  readonly pair: PairId;
  readonly acts: readonly Act[];
}

/** A ticket that was brought along; `other` where another pair is being entered already. */
export interface InHand {
  readonly ticket: string;
  readonly other: boolean;
}

const NO_PROBLEMS: Problems = {};

export function useLogging(office: Office, keeping: DraftKeeping) {
  const [draft, setDraft] = useState(keeping.read);
  const [kept, setKept] = useState(true);
  /** Problems are said once saving was tried, and from then on as they come and go. */
  const [asked, setAsked] = useState(false);
  const [saving, setSaving] = useState(false);
  const [clearing, setClearing] = useState(false);
  const [says, setSays] = useState<string | null>(null);
  const [logged, setLogged] = useState<Logged | null>(null);
  const tried = useRef<Tried | null>(null);
  const latest = useRef(draft);

  const today = siteDay(office.now, office.book.timeZone);
  const { job } = draft;
  const usual = useMemo(
    () => (job === null ? null : usualPromise(office.pairs.values(), office.book, job, today)),
    [job, office.book, office.pairs, today],
  );
  const found = useMemo(() => triageOf(draft), [draft.notes, draft.condition]);
  const around: Surroundings = {
    book: office.book,
    pairs: office.pairs,
    today,
    usualDay: usual?.day ?? null,
  };
  const problems = asked ? problemsOf(draft, around) : NO_PROBLEMS;

  const put = (next: LoggingDraft) => {
    latest.current = next;
    setDraft(next);
    setKept(keeping.keep(next));
    setClearing(false);
  };
  const change = (said: Partial<LoggingDraft>) => {
    setSays(null);
    put({ ...latest.current, ...said });
  };
  const empty = (next: LoggingDraft) => {
    put(next);
    tried.current = null;
    setAsked(false);
    setSays(null);
  };

  async function save(): Promise<void> {
    if (saving || office.at === null) return;
    setAsked(true);
    const wrong = Object.keys(problemsOf(latest.current, around)).length;
    if (wrong > 0) {
      setSays(logging.toMend(wrong));
      return focusFirstProblem();
    }
    setSaving(true);
    setSays(null);
    try {
      await make();
    } catch (cause) {
      setSays(whyNot(cause));
    } finally {
      setSaving(false);
    }
  }

  async function make(): Promise<void> {
    const pair =
      typedTicket(latest.current, office.book) ?? latest.current.issued ?? (await newTicket(office));
    if (pair === null) return setSays(logging.noNumber);
    if (latest.current.ticket.trim() === '' && latest.current.issued !== pair)
      put({ ...latest.current, issued: pair });
    const made = latest.current;
    if (tried.current?.draft !== made)
      tried.current = { draft: made, pair, acts: loggingActs(made, pair, around) };
    const { acts } = tried.current;
    await office.record(acts);
    setLogged(loggedOf(acts, pair));
    keeping.forget();
    tried.current = null;
  }

  // The ledger may show that the pair was logged in though this page never heard: it was shut, or the store was slow
  // to answer. All of it was made in one go, so there is nothing left to enter.
  const before = draft.issued === null ? undefined : office.pairs.get(draft.issued);
  const beforePaper = before === undefined ? null : ticketPaperOf(before);
  useEffect(() => {
    if (before === undefined || beforePaper === null || saving || logged !== null) return;
    setLogged({ pair: before.pair, paper: beforePaper, ownerRef: before.details?.ownerRef ?? '' });
    keeping.forget();
    tried.current = null;
  }, [before, saving, logged]);

  // A pair that a bench has scanned and nobody logged brings its number; what is entered for another is left alone.
  const [inHand, setInHand] = useState<InHand | null>(null);
  useEffect(() => {
    const ticket = takeTicketInHand();
    if (ticket === null) return;
    const other = !isEmpty(latest.current) && latest.current.ticket !== ticket;
    if (!other) change({ ticket });
    setInHand({ ticket, other });
  }, []);

  // Problems are shown after the next drawing; the first of them gets the focus then.
  const [focusing, setFocusing] = useState(0);
  const focusFirstProblem = () => setFocusing(focusing + 1);
  useEffect(() => {
    if (focusing === 0) return;
    const first = [...document.querySelectorAll('.log .field-says')].find((one) => one.textContent !== '');
    const field = first?.parentElement?.querySelector<HTMLElement>('input, select, button');
    field?.focus();
    first?.scrollIntoView({ block: 'center' });
  }, [focusing]);

  return {
    draft,
    change,
    changePhotos: (by: (photos: LoggingDraft['photos']) => LoggingDraft['photos']) =>
      change({ photos: by(latest.current.photos) }),
    problems,
    found,
    usual,
    today,
    kept,
    saving,
    says,
    logged,
    inHand,
    empty: isEmpty(draft),
    clearing,
    save,
    clear: () => {
      // A number that was taken is kept for the next pair: none is wasted.
      if (clearing) empty({ ...EMPTY_DRAFT, issued: latest.current.issued });
      else setClearing(true);
    },
    next: () => {
      setLogged(null);
      setInHand(null);
      empty(EMPTY_DRAFT);
      window.scrollTo(0, 0);
    },
  };
}

/** Null where this desk's lane has no number left. */
async function newTicket(office: Office): Promise<PairId | null> {
  try {
    return await office.newTicket();
  } catch (cause) {
    if (cause instanceof RangeError) return null;
    throw cause;
  }
}

function loggedOf(acts: readonly Act[], pair: PairId): Logged | null {
  const [first] = acts;
  if (first?.kind !== 'pair-logged') return null;
  const { said } = first;
  return { pair, paper: ticketPaper(pair, said, said.withPair), ownerRef: said.ownerRef };
}

function whyNot(cause: unknown): string {
  if (!(cause instanceof LedgerFailure)) throw cause;
  const line = troubles[cause.trouble];
  return line === undefined ? cause.trouble : logging.notSaved(line);
}
