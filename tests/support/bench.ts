/** A bench to scan at, on a ledger in memory: for tests of what scans and taps do. */
import { checkCharacter } from '../../src/domain/check-character.ts';
import { ALPHABET, issueTicket, type ScanSource } from '../../src/domain/code.ts';
import { codeHash } from '../../src/domain/code-hash.ts';
import { foldPair } from '../../src/domain/fold/pair.ts';
import type { PairState } from '../../src/domain/fold/pair-state.ts';
import { asBenchId, asOperativeId, asStageCode, type PairId, type StageCode } from '../../src/domain/ids.ts';
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import type { SiteBook } from '../../src/domain/site-book.ts';
import { lastOf, unrecordedBefore, wayOf } from '../../src/domain/way.ts';
import { barOf } from '../../src/tablet/app/bar.ts';
import { BenchApp, type BenchDevice } from '../../src/tablet/app/bench-app.ts';
import { PairActs } from '../../src/tablet/app/pair-acts.ts';
import type { EnrolOutcome } from '../../src/tablet/app/screen.ts';
import { LedgerFailure, type LedgerTrouble } from '../../src/tablet/ledger/ledger.ts';
import { tapsOf } from './bench-taps.ts';
import {
  DESK,
  FULL,
  handAt,
  INES,
  idOf,
  MONDAY_8,
  PAIR,
  placed,
  RUTH,
  SITE,
  seenUpTo,
  siteBook,
  TOMASZ,
  type Told,
  WELTING,
  WLT,
} from './builders.ts';
import { MemoryLedger, MemoryStore } from './memory-ledger.ts';

/** A code's text from a word: padded and with its check character, as ours are. */
function codeOf(letter: 'H' | 'W', serialLength: number, word: string): string {
  for (const filler of ALPHABET) {
    const body = letter + word.padEnd(serialLength, filler);
    const check = checkCharacter(body);
    if (ALPHABET.includes(check)) return body + check;
  }
  throw new Error(`no code for ${word}`);
}

export const BADGE_OF_INES = codeOf('H', 18, '1NE0');
export const SET_UP = codeOf('W', 10, 'WE1T');
export const BADGE_OF_TOMASZ = codeOf('H', 18, 'T0MA');
export const BADGE_OF_RUTH = codeOf('H', 18, 'R4TH');
export const BADGE_OF_PIA = codeOf('H', 18, 'P1A0');
/** Pia learns the trade: she is released for no machine. */
export const PIA = asOperativeId('op-pia');
/** Another ticket than `PAIR`, and one more. */
const issued = issueTicket(5, 7);
export const SECOND = issued.pair;
export const THIRD = issueTicket(5, issued.next).pair;
const ELSEWHERE = asBenchId('bench-elsewhere');
const HOUR_MS = 3_600_000;

/** A ledger that can be told to fail. */
class FailingLedger extends MemoryLedger {
  trouble: LedgerTrouble | null = null;

  override async commit(drafts: Parameters<MemoryLedger['commit']>[0]) {
    if (this.trouble !== null) throw new LedgerFailure(this.trouble);
    return super.commit(drafts);
  }
}

/** Windows of one tablet take their acts one at a time, as `device/alone.ts` has it. */
function turnstile(): (act: () => Promise<void>) => Promise<void> {
  let last: Promise<void> = Promise.resolve();
  return (act) => {
    const done = last.then(act);
    last = done.catch(() => undefined);
    return done;
  };
}

/**
 * @param told what is otherwise in the site's book: `FULL` makes it a site with routes
 * @param stages what the bench is set to
 */
export async function benchAt(
  enrolment: EnrolOutcome = { is: 'no-server' },
  told: Partial<SiteBook> = {},
  stages: readonly StageCode[] = [WLT],
) {
  const store = new MemoryStore();
  const ledger = new FailingLedger(store);
  const badge = (token: string, operative: typeof INES) => ({ hash: codeHash(token), operative });
  const book = siteBook({
    badges: [
      badge(BADGE_OF_INES, INES),
      badge(BADGE_OF_TOMASZ, TOMASZ),
      badge(BADGE_OF_RUTH, RUTH),
      badge(BADGE_OF_PIA, PIA),
    ],
    ...told,
  });
  await ledger.remember({
    enrolment: {
      site: SITE,
      dataset: 'dataset-1',
      bench: WELTING,
      place: 'bench',
      name: 'Welting',
      key: '0'.repeat(64),
      lane: 3,
    },
    book,
    readIn: true,
    stages,
  });
  let ms = MONDAY_8;
  let ids = 0;
  const device: BenchDevice = {
    wall: () => ({ ms, offsetMs: 0, known: true }),
    newId: () => {
      ids += 1;
      return idOf(WELTING, ids);
    },
    codeHash: async (token) => codeHash(token),
    enrol: async () => enrolment,
    wakeSync: () => {},
    alone: turnstile(),
  };
  const app = new BenchApp(ledger, device);
  const acts = new PairActs(app);
  await acts.later();
  await app.start();
  let pos = 0;
  return {
    app,
    acts,
    /** Another window of the same tablet. */
    window: async () => {
      const other = new BenchApp(new MemoryLedger(store), device);
      const otherActs = new PairActs(other);
      await otherActs.later();
      await other.start();
      return { app: other, acts: otherActs };
    },
    ledger,
    book,
    pass: (minutes: number) => {
      ms += minutes * 60_000;
    },
    /** Others' records, as sync brings them: each at the server's next position. */
    pull: async (...records: readonly LedgerRecord[]) => {
      const pulled = records.map((record) => {
        pos += 1;
        return { pos, record };
      });
      await ledger.apply(pulled, seenUpTo(pos));
      await settled({ app });
    },
    /** What the ledger holds, in the order in which it was made. */
    made: async (): Promise<readonly LedgerRecord[]> => ledger.recordsOfBench(WELTING, 0),
    kinds: async () => (await ledger.recordsOfBench(WELTING, 0)).map(({ kind }) => kind),
  };
}

export type Bench = Awaited<ReturnType<typeof benchAt>>;
type Window = Pick<Bench, 'app' | 'acts'>;

/** Everything taken has been dealt with, and what the ledger told of it as well. */
export async function settled({ app }: Pick<Bench, 'app'>): Promise<void> {
  await app.settled();
  await new Promise((resolve) => setTimeout(resolve, 0));
  await app.settled();
}

export const says = ({ app }: Pick<Bench, 'app'>) => barOf(app.view).line.says;
export const next = ({ app }: Pick<Bench, 'app'>) => barOf(app.view).line.next;
export const buttons = ({ app }: Pick<Bench, 'app'>) => barOf(app.view).buttons.map(({ label }) => label);

/** The pair as this tablet has it. */
export async function stateOf({ ledger }: Pick<Bench, 'ledger'>, pair: PairId = PAIR): Promise<PairState> {
  return foldPair(pair, await ledger.recordsOfPair(pair));
}

export async function scan(bench: Window, text: string, source: ScanSource = 'wedge'): Promise<void> {
  await bench.app.scan(text, source);
  await settled(bench);
}

/** Presses the bar's button of this label; a button that is not there fails the test. */
export async function press(bench: Window, label: string): Promise<void> {
  const button = barOf(bench.app.view).buttons.find((other) => other.label === label);
  if (button === undefined)
    throw new Error(`no button "${label}" at "${says(bench)}", but ${buttons(bench).join(', ')}`);
  button.act(tapsOf(bench));
  await settled(bench);
}

const person = (
  id: typeof INES,
  name: string,
  role: SiteBook['operatives'][number]['role'],
  released: readonly string[] | null,
) => ({ id, name, role, released: released === null ? null : released.map(asStageCode) });

export interface FullBench {
  readonly stages?: readonly StageCode[];
  /** Whose badge is scanned first; null for nobody. */
  readonly on?: string | null;
  /** Whether the day's first use of a stage shows its reminders. */
  readonly reminds?: boolean;
  readonly told?: Partial<SiteBook>;
}

/**
 * A bench at a site as it begins: every stage, route and way of the catalogue, one rack, three hands and a
 * supervisor. Ines is released for every machine, Tomasz for welt sewing, Pia and Ruth for none.
 */
export async function fullBench({
  stages = [WLT],
  on = BADGE_OF_INES,
  reminds = false,
  told = {},
}: FullBench = {}): Promise<Bench> {
  const book: Partial<SiteBook> = {
    ...FULL,
    stages: (FULL.stages ?? []).map((stage) => ({ ...stage, reminds: reminds && stage.reminds })),
    operatives: [
      person(INES, 'Ines Okafor', 'hand', null),
      person(TOMASZ, 'Tomasz Lindqvist', 'hand', ['WLT']),
      person(PIA, 'Pia Sandoval', 'hand', []),
      person(RUTH, 'Ruth Adeyemi', 'supervisor', []),
    ],
    ...told,
  };
  const bench = await benchAt(undefined, book, stages);
  if (on !== null) await scan(bench, on);
  return bench;
}

/** The office and another bench, from yesterday on: what a pair has behind it when it comes to this bench. */
export function yesterday() {
  return {
    office: handAt(DESK, RUTH, MONDAY_8 - 20 * HOUR_MS),
    elsewhere: handAt(ELSEWHERE, TOMASZ, MONDAY_8 - 19 * HOUR_MS),
  };
}

/** The records of a pair that is due at `stage`: logged, and all before it done at another bench yesterday. */
export function dueAt(
  stage: StageCode,
  book: SiteBook,
  { office, elsewhere }: ReturnType<typeof yesterday>,
  told: Told<'pair-logged'> = {},
): readonly LedgerRecord[] {
  const logged = office.write('pair-logged', { yes: 'given', ...told });
  const { pair } = logged;
  const way = wayOf(foldPair(pair, placed([logged])), book);
  if (way === null) throw new Error('the site has no routes');
  const done = unrecordedBefore(way, stage).flatMap((code): readonly LedgerRecord[] => {
    const clockIn = elsewhere.write('clocked-in', { pair, stage: code });
    const out = elsewhere.write('clocked-out', { pair, stage: code, of: clockIn.id });
    const last = lastOf(logged);
    if (code === book.ways.lastFrom) return [clockIn, elsewhere.write('last-taken', { pair, last }), out];
    if (code === book.ways.lastTo) return [clockIn, out, elsewhere.write('last-freed', { pair, last })];
    return [clockIn, out];
  });
  return [logged, ...done];
}
