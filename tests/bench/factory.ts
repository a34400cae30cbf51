/** A large factory behind the real server, in this process, at an address that a tablet can open. */
import { randomBytes } from 'node:crypto';
import { join } from 'node:path';
import { dueAt, pairStates } from '../../demo-data/due.ts';
import { largeLedger } from '../../demo-data/records.ts';
import { seedDemo } from '../../demo-data/seed.ts';
import { SITE_ID } from '../../demo-data/workshop.ts';
import { notesFor } from '../../src/domain/fold/notes.ts';
import type { PairId } from '../../src/domain/ids.ts';
import { Announcer } from '../../src/server/announcer.ts';
import { createApp } from '../../src/server/app.ts';
import { openSqliteLedger } from '../../src/server/ledger/sqlite.ts';
import { logToStderr } from '../../src/server/log.ts';
import { DEFAULT_CONFIG } from '../../src/server/parts.ts';
import { listen } from '../../src/server/serve.ts';

export const OPEN_PAIRS = 5_000;
export const RECORDS = 200_000;
/** The bench that the measuring tablet is set up as; every line has one. */
const BENCH_KEY = 'welt';

export interface Factory {
  readonly url: string;
  /** Sets a tablet up as the bench. */
  readonly setUpCode: string;
  readonly badge: string;
  /** Pairs that can be worked next at the bench: those that a scan clocks in, and those with notes to look at first. */
  readonly due: { readonly plain: readonly PairId[]; readonly noted: readonly PairId[] };
  /** How many records the server holds. */
  head(): Promise<number>;
  /** How many beginnings and ends of work are among them. */
  clockings(): Promise<number>;
  /** The server is gone, as when its plug is pulled. */
  stop(): Promise<void>;
}

/**
 * Makes the factory and opens it.
 * @param folder for its database
 * @param pages the built app
 */
export async function openFactory(folder: string, pages: string): Promise<Factory> {
  const workshop = largeLedger({ pairs: OPEN_PAIRS, records: RECORDS, endsAt: Date.now() });
  const bench = workshop.benches.find(({ key }) => key === BENCH_KEY);
  const hand = workshop.badges.find(({ role }) => role === 'hand');
  if (bench === undefined || hand === undefined) throw new Error(`the workshop has no ${BENCH_KEY} bench`);

  const ledger = await openSqliteLedger(join(folder, 'ledger.sqlite'));
  await seedDemo({ ledger, workshop });
  // Shown at the first scan of a day alone, and not what is measured.
  await ledger.changeBook(SITE_ID, (book) => ({
    ...book,
    stages: book.stages.map((stage) => ({ ...stage, reminds: false })),
  }));
  const announcer = new Announcer();
  const app = createApp({
    ledger,
    clock: () => Date.now(),
    random: (bytes) => randomBytes(bytes),
    announcer,
    log: logToStderr,
    config: { ...DEFAULT_CONFIG, staticFolder: pages },
  });
  const listening = await listen(app, announcer, { host: '127.0.0.1', port: 0, tls: null });

  const states = pairStates(workshop);
  const due = dueAt(workshop, states, bench).map(({ pair, stage }) => {
    const state = states.get(pair);
    return { pair, notes: state === undefined ? 0 : notesFor(state, stage).length };
  });
  return {
    url: listening.url,
    setUpCode: bench.setupToken,
    badge: hand.token,
    due: {
      plain: due.flatMap(({ pair, notes }) => (notes === 0 ? [pair] : [])),
      noted: due.flatMap(({ pair, notes }) => (notes > 0 ? [pair] : [])),
    },
    head: async () => (await ledger.standing(SITE_ID, bench.bench))?.head ?? 0,
    clockings: async () =>
      (await ledger.recordsOfKinds(SITE_ID, ['clocked-in', 'clocked-out'], Number.MAX_SAFE_INTEGER)).length,
    stop: async () => {
      await listening.stop();
      await ledger.close();
    },
  };
}
