/**
 * Runs in the browser that is killed. It tells what its store holds, read past the ledger, and then records without
 * end through the ledger that ships; of each record it tells the moment it is made, and not before.
 *
 * The address says: `witness`, where to tell it; `more`, how many further windows of the tablet to open, or nothing in a
 * window that was opened so; `seed`.
 */
import { prng } from '../../../demo-data/prng.ts';
import type { Draft, LedgerRecord } from '../../../src/domain/record/kinds.ts';
import { newRecordId } from '../../../src/tablet/device/ids.ts';
import { IdbLedger, LEDGER_NAME } from '../../../src/tablet/ledger/idb-ledger.ts';
import { LEDGER_CHANNEL } from '../../../src/tablet/ledger/notices.ts';
import { handAt, WELTING } from '../../support/builders.ts';
import type { Held, HeldRow, OutboxEntry } from '../held.ts';

/** The kinds with room for words: the words say which act a record is part of, and of how many. */
const WORDS_IN = { noted: 'text', 'set-aside': 'reason', 'sent-back': 'reason', parted: 'why' } as const;
const KINDS = Object.keys(WORDS_IN) as readonly (keyof typeof WORDS_IN)[];
const PARTS_MAX = 3;

const asked = new URLSearchParams(location.search);
const witness = asked.get('witness') ?? '';
const chance = prng(Number(asked.get('seed')));
const hand = handAt(WELTING);
const ledger = new IdbLedger({ channel: new BroadcastChannel(LEDGER_CHANNEL) });

void run().catch((cause: unknown) => tell('failed', String(cause)));

async function run(): Promise<void> {
  const more = asked.get('more');
  if (more !== null) await tell('begin', JSON.stringify(await held()));
  for (let window_ = 1; window_ <= Number(more); window_ += 1) openAnother(window_);
  for (;;) {
    const made = await ledger.commit(anAct());
    // Not waited for: a hand does not wait either before it scans on.
    void tell('made', linesOf(made));
  }
}

/** In a process of its own, as a window that a hand opens is. */
function openAnother(number: number): void {
  const address = new URL(location.href);
  address.searchParams.delete('more');
  address.searchParams.set('seed', `${asked.get('seed')}${number}`);
  window.open(address, '_blank', 'noopener');
}

/** One to three records of one commit: all of them are there, or none. */
function anAct(): readonly Draft[] {
  const act = crypto.randomUUID();
  const parts = chance.int(1, PARTS_MAX);
  return Array.from({ length: parts }, (_, part) => {
    const kind = chance.pick(KINDS);
    const { seq: _seq, seen: _seen, ...draft } = hand.write(kind);
    return { ...draft, id: newRecordId(), [WORDS_IN[kind]]: `act ${act} ${part + 1}/${parts}` } as Draft;
  });
}

/** Everything in the store, by the browser's own means. */
async function held(): Promise<Held> {
  // Made by the ledger where the profile is new.
  await ledger.outbox();
  const database = await answered(indexedDB.open(LEDGER_NAME));
  const reading = database.transaction(['records', 'outbox']);
  const [records, outbox] = await Promise.all([
    answered<HeldRow[]>(reading.objectStore('records').getAll()),
    answered<OutboxEntry[]>(reading.objectStore('outbox').getAll()),
  ]);
  database.close();
  return { records, outbox };
}

function answered<Result>(request: IDBRequest<Result>): Promise<Result> {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

function linesOf(records: readonly LedgerRecord[]): string {
  return records.map((record) => JSON.stringify(record)).join('\n');
}

/** Out of the browser, to a process that is not killed. */
async function tell(what: 'begin' | 'made' | 'failed', body: string): Promise<void> {
  await fetch(`${witness}${what}`, { method: 'POST', body });
}
