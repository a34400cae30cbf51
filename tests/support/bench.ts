/** A bench to scan at, on a ledger in memory: for tests of what scans and taps do. */
import { checkCharacter } from '../../src/domain/check-character.ts';
import { ALPHABET } from '../../src/domain/code.ts';
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import { codeHash, type SiteBook } from '../../src/domain/site-book.ts';
import { BenchApp, type BenchDevice } from '../../src/tablet/app/bench-app.ts';
import { PairActs } from '../../src/tablet/app/pair-acts.ts';
import type { EnrolOutcome } from '../../src/tablet/app/screen.ts';
import { LedgerFailure, type LedgerTrouble } from '../../src/tablet/ledger/ledger.ts';
import { INES, idOf, MONDAY_8, SITE, siteBook, TOMASZ, WELTING, WLT } from './builders.ts';
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

/** A ledger that can be told to fail. */
class FailingLedger extends MemoryLedger {
  trouble: LedgerTrouble | null = null;

  override async commit(drafts: Parameters<MemoryLedger['commit']>[0]) {
    if (this.trouble !== null) throw new LedgerFailure(this.trouble);
    return super.commit(drafts);
  }
}

export async function benchAt(enrolment: EnrolOutcome = { is: 'no-server' }, told: Partial<SiteBook> = {}) {
  const store = new MemoryStore();
  const ledger = new FailingLedger(store);
  const book = siteBook({
    badges: [
      { hash: codeHash(BADGE_OF_INES), operative: INES },
      { hash: codeHash(BADGE_OF_TOMASZ), operative: TOMASZ },
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
    stages: [WLT],
  });
  let ms = MONDAY_8;
  let ids = 0;
  const device: BenchDevice = {
    wall: () => ({ ms, offsetMs: 0, known: true }),
    newId: () => {
      ids += 1;
      return idOf(WELTING, ids);
    },
    enrol: async () => enrolment,
    wakeSync: () => {},
  };
  const app = new BenchApp(ledger, device);
  const acts = new PairActs(app);
  await app.start();
  return {
    app,
    acts,
    /** Another window of the same tablet. */
    window: async () => {
      const other = new BenchApp(new MemoryLedger(store), device);
      await other.start();
      return other;
    },
    ledger,
    pass: (minutes: number) => {
      ms += minutes * 60_000;
    },
    /** What the ledger holds, in the order in which it was made. */
    made: async (): Promise<readonly LedgerRecord[]> => ledger.recordsOfBench(WELTING, 0),
    kinds: async () => (await ledger.recordsOfBench(WELTING, 0)).map(({ kind }) => kind),
  };
}
