/**
 * The tablet's store as a hard life treats it: every call may take its time, fail, be torn off (nothing of it is
 * written, or all of it and the answer is lost), or be the last one of its process. It looks on, too: what is made
 * and shown is entered in the register, and what a store must never be asked to do is found here.
 */
import { placeOf } from '../../src/domain/cursor.ts';
import type { BenchId, OperativeId, PairId } from '../../src/domain/ids.ts';
import { type Draft, type LedgerRecord, pairOf } from '../../src/domain/record/kinds.ts';
import { LedgerFailure, type LedgerTrouble, type TabletLedger } from '../../src/tablet/ledger/ledger.ts';
import { MemoryStore, type Row } from '../support/memory-ledger.ts';
import type { Chance } from './chance.ts';
import type { Life } from './life.ts';
import { over } from './over.ts';
import type { Register } from './register.ts';
import { never, type Scheduler } from './scheduler.ts';
import type { Story } from './story.ts';

/** What is on a tablet's disk, and what is known of it besides. */
export class Disk {
  readonly store: MemoryStore;
  /** Who is on, by the records of this store alone; null where nobody is, undefined where another store wrote too. */
  on: OperativeId | null | undefined = null;
  /** The highest number that the server has said to hold. */
  told = 0;

  constructor(store: MemoryStore) {
    this.store = store;
  }

  /** Another tablet with the same enrolment, or this one set back: its bench has more than one store's records. */
  copy(): Disk {
    const copy = new Disk(this.store.copy());
    copy.told = this.told;
    copy.on = undefined;
    return copy;
  }
}

export interface StoreParts {
  readonly who: string;
  readonly disk: Disk;
  readonly life: Life;
  readonly scheduler: Scheduler;
  readonly story: Story;
  readonly register: Register;
  readonly chance: Chance;
  readonly msMax: number;
  /** What is wrong with this call, if anything. */
  readonly trouble: () => LedgerTrouble | null;
  /** Whose scan of the pair is under way at this tablet; empty where nobody's is. */
  readonly handsOn: (pair: PairId) => ReadonlySet<OperativeId>;
  /** The record as this tablet's build writes it. */
  readonly asBuilt: (record: LedgerRecord) => unknown;
}

/** @param inner the real ledger over `disk.store` */
export function faultyStore(inner: TabletLedger, parts: StoreParts): TabletLedger {
  const { disk, life, register, story, who } = parts;
  const call = <Made>(name: string, does: () => Promise<Made>) => through(parts, name, does);
  const tried = new Map<string, string>();

  const commit = async (drafts: readonly Draft[]): Promise<readonly LedgerRecord[]> => {
    for (const draft of drafts) checkDraft(draft);
    const made = await call('commit', async () => {
      // In the very step that writes them, so that nobody can read them first.
      disk.store.keep = (id, row) => MemoryStore.prototype.keep.call(disk.store, id, enter(id, row));
      try {
        return inner.commit(drafts);
      } finally {
        disk.store.keep = MemoryStore.prototype.keep;
      }
    });
    for (const { id } of made) register.shown.add(id);
    story.tell(who, `shown as made: ${made.map(inWords).join(', ')}`);
    return made;
  };

  /** Tried again, an act is the very same act, by the same hand. */
  const checkDraft = (draft: Draft): void => {
    const json = JSON.stringify(draft);
    const before = tried.get(draft.id);
    if (before !== undefined && before !== json)
      register.violate('an act tried again is the same act', `${before} became ${json}`);
    const pair = pairOf(draft);
    // Where another tablet writes for the same bench, who is on may change between a look and a scan.
    if (before === undefined && pair !== null && disk.on !== undefined) {
      const hands = parts.handsOn(pair);
      if (hands.size > 0 && draft.by !== null && !hands.has(draft.by))
        register.violate('nobody’s record is booked to another', `${draft.kind} of ${pair} by ${draft.by}`);
    }
    tried.set(draft.id, json);
  };

  /** The record goes to the disk now, as this tablet's build writes it. */
  const enter = (id: string, row: Row): Row => {
    const record = row.raw as LedgerRecord;
    const { bench, seq } = record;
    if (register.made.has(id)) return row;
    const raw = parts.asBuilt(record);
    register.made.set(id, { id: record.id, bench, seq, json: JSON.stringify(raw) });
    checkHand(record);
    if (seq <= disk.told)
      register.violate(
        'no number is used again',
        `${seq} at ${bench}, after the server said that it holds ${disk.told}`,
      );
    return { ...row, raw };
  };

  const checkHand = (record: LedgerRecord): void => {
    if (disk.on === undefined) return;
    if (record.kind === 'badged-on') {
      disk.on = record.by;
      return;
    }
    if (record.by !== disk.on)
      register.violate('nobody’s record is booked to another', `${inWords(record)} while ${disk.on} was on`);
    if (record.kind === 'badged-off') disk.on = null;
  };

  const apply: TabletLedger['apply'] = (pulled, cursor) =>
    call('apply', () => {
      const [from, to] = [placeOf(disk.store.settings.cursor), placeOf(cursor)];
      const first = from !== null && from.epoch === to?.epoch ? from.pos : 0;
      const complete =
        pulled.length + first === (to?.pos ?? 0) &&
        pulled.every(({ pos }, index) => pos === first + index + 1);
      if (!complete && (from === null || first <= (to?.pos ?? 0)))
        register.violate(
          'a cursor never skips',
          `${who} had read up to ${first} and was given ${pulled.map(({ pos }) => pos).join(' ')} up to ${to?.pos}`,
        );
      return inner.apply(pulled, cursor);
    });

  const serverHolds = async (bench: BenchId, epoch: string, heldSeq: number): Promise<number> => {
    const again = await call('serverHolds', () => inner.serverHolds(bench, epoch, heldSeq));
    disk.told = Math.max(disk.told, heldSeq);
    if (again > 0) story.tell(who, `offers ${again} records again that the server has lost`);
    return again;
  };

  return over(inner, {
    commit,
    apply,
    serverHolds,
    recordsOfPair: (pair) => call('recordsOfPair', () => inner.recordsOfPair(pair)),
    recordsOfThing: (thing) => call('recordsOfThing', () => inner.recordsOfThing(thing)),
    recordsOfBench: (bench, since) => call('recordsOfBench', () => inner.recordsOfBench(bench, since)),
    takeTicket: () => call('takeTicket', () => inner.takeTicket()),
    waiting: (limit) => call('waiting', () => inner.waiting(limit)),
    confirm: (ids) => call('confirm', () => inner.confirm(ids)),
    refuse: (refused) => call('refuse', () => inner.refuse(refused)),
    outbox: () => call('outbox', () => inner.outbox()),
    settings: () => call('settings', () => inner.settings()),
    remember: (settings) => call('remember', () => inner.remember(settings)),
    startAnew: () => call('startAnew', () => inner.startAnew()),
    watch: (onChange) => inner.watch((pairs) => (life.alive ? onChange(pairs) : undefined)),
  });
}

/** The call on its way through everything that can befall it. */
async function through<Made>(parts: StoreParts, name: string, does: () => Promise<Made>): Promise<Made> {
  const { life, chance, story, who } = parts;
  const step = life.step();
  await pause(parts);
  if (!life.alive) return never();
  if (step === 'dies-before') {
    story.tell(who, `is killed before «${name}»`);
    life.end();
    return never();
  }
  const trouble = parts.trouble();
  const written = trouble === null || (trouble === 'stuck' && chance.happens(0.5));
  if (!written) {
    story.tell(who, `«${name}» fails: ${trouble}`);
    throw new LedgerFailure(trouble);
  }
  const made = await does();
  story.note(who, name);
  if (step === 'dies-after') {
    story.tell(who, `is killed after «${name}», before anybody hears of it`);
    life.end();
    return never();
  }
  if (trouble !== null) {
    story.tell(who, `«${name}» is done, and fails: ${trouble}`);
    throw new LedgerFailure(trouble);
  }
  await pause(parts);
  return life.alive ? made : never();
}

async function pause({ scheduler, chance, msMax }: StoreParts): Promise<void> {
  if (msMax > 0) await scheduler.sleep(chance.whole(0, msMax));
}

export function inWords(record: {
  readonly kind: string;
  readonly seq: number;
  readonly by: string | null;
}): string {
  const pair = 'pair' in record ? ` ${String(record.pair)}` : '';
  return `${record.seq} ${record.kind}${pair} by ${record.by ?? 'nobody'}`;
}
