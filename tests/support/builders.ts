/**
 * Records for tests, in the invented workshop Aldermoor Bench. A `Hand` of a bench writes them as a tablet would:
 * each gets the bench's next `seq`, an id made from bench and `seq`, and an instant one minute after the last.
 * Nothing is random and nothing asks for the time, so a record is the same in every run.
 */

import { siteRoutes, siteStages, siteWays } from '../../src/domain/catalogue/site-start.ts';
import { STAGES } from '../../src/domain/catalogue/stages.ts';
import { codeHash } from '../../src/domain/code-hash.ts';
import { CURSOR_START, cursorAt } from '../../src/domain/cursor.ts';
import type { Placed } from '../../src/domain/fold/order.ts';
import { foldPair } from '../../src/domain/fold/pair.ts';
import type { PairState, Spell } from '../../src/domain/fold/pair-state.ts';
import type { BenchId, Cursor, OperativeId, RecordId, StageCode } from '../../src/domain/ids.ts';
import {
  asBenchId,
  asOperativeId,
  asPairId,
  asRecordId,
  asSiteId,
  asStageCode,
} from '../../src/domain/ids.ts';
import type { Instant } from '../../src/domain/instant.ts';
import { MINUTE_MS } from '../../src/domain/instant.ts';
import type { Envelope } from '../../src/domain/record/envelope.ts';
import type { LedgerRecord, RecordKind, RecordOf } from '../../src/domain/record/kinds.ts';
import type { SiteBook } from '../../src/domain/site-book.ts';
import { siteBookSchema } from '../../src/domain/site-book.ts';
import { uuidv7 } from '../../src/domain/uuid.ts';

export const SITE = asSiteId('aldermoor');
/** A ticket that could have been issued: its check character holds. */
export const PAIR = asPairId('P7K4292W');
/** 2026-11-02T08:00Z, a Monday. */
export const MONDAY_8 = 1_793_606_400_000;
export const EPOCH = '0a1b2c3d';

export const WELTING = asBenchId('bench-welting');
export const LAYING = asBenchId('bench-laying');
export const DESK = asBenchId('desk-office');

export const WLT = asStageCode('WLT');
export const INT = asStageCode('INT');
export const LAY = asStageCode('LAY');
export const CHK = asStageCode('CHK');
export const DSP = asStageCode('DSP');

export const INES = asOperativeId('op-ines');
export const TOMASZ = asOperativeId('op-tomasz');
export const RUTH = asOperativeId('op-ruth');

/** An id that no record written here has. */
export const NOBODYS_ID = asRecordId('019a4b2c-0000-7000-8000-000000000000');

/** A rack whose check character holds. */
export const RACK = 'R07HT295';

/** What a record says where a test does not care. */
const USUAL: { readonly [Kind in RecordKind]: Said<Kind> } = {
  'pair-logged': {
    pair: PAIR,
    job: 'FB',
    ownerRef: 'A-1042',
    style: 'brown derby',
    last: '82',
    size: '8',
    fitting: 'F',
    promised: '2026-12-10',
    maker: null,
    asked: null,
    withPair: ['laces'],
    condition: null,
    route: null,
    yes: 'not-wanted',
  },
  'pair-amended': { pair: PAIR, after: NOBODYS_ID, changes: { size: '9' }, why: 'size read wrongly' },
  'owner-asked': { pair: PAIR, note: null, why: 'the insole is broken through' },
  'owner-answered': { pair: PAIR, answer: 'go-on', job: 'FB', promised: '2026-12-17', words: null },
  pictured: { pair: PAIR, photo: codeHash('a photograph'), bytes: 240_000, type: 'image/jpeg', note: null },
  'ticket-reprinted': { pair: PAIR, why: 'soaked' },
  'handed-back': { pair: PAIR, why: 'the owner came for it' },
  'bench-set': { stages: [WLT] },
  'badged-on': {},
  'badged-off': { why: 'badge' },
  'reminders-shown': { stage: WLT, wording: 0 },
  'machine-stopped': { where: WELTING, stage: WLT, why: 'guard loose' },
  'machine-back': { where: WELTING, stage: WLT, why: 'guard tightened and tried' },
  'clocked-in': { pair: PAIR, stage: WLT, shoe: 'both', unknownPair: false },
  'clocked-out': { pair: PAIR, stage: WLT, of: NOBODYS_ID, outcome: 'done', closes: false, timed: true },
  'hand-joined': { pair: PAIR, of: NOBODYS_ID, hand: TOMASZ, as: 'beside' },
  'done-unscanned': { pair: PAIR, stage: WLT, shoe: 'both', why: 'the tablet was flat' },
  'set-aside': { pair: PAIR, stage: WLT, reason: 'waiting for thread' },
  'taken-up': { pair: PAIR },
  'sent-back': {
    pair: PAIR,
    from: LAY,
    to: WLT,
    shoe: 'left',
    reason: 'welt seam open at the waist',
    again: [],
    fault: null,
  },
  parted: { pair: PAIR, shoe: 'left', why: 'the left goes back for a patch' },
  rejoined: { pair: PAIR },
  'found-here': { pair: PAIR },
  racked: { pair: PAIR, rack: RACK },
  unracked: { pair: PAIR, rack: RACK },
  'last-taken': { pair: PAIR, last: '82 8 F' },
  'last-freed': { pair: PAIR, last: '82 8 F' },
  checked: { pair: PAIR, stage: CHK, probe: true, board: true, openNotes: [], unrecorded: [], why: null },
  boxed: { pair: PAIR, things: [{ thing: 'laces', back: true }], tag: 'scanned', why: null },
  noted: {
    pair: PAIR,
    shoe: 'left',
    zone: 'opened-rib',
    side: null,
    defect: null,
    weight: 'mind',
    text: 'rib was stuck again',
    seeAt: [],
    cureAt: [],
  },
  'note-seen': { pair: PAIR, note: NOBODYS_ID, stage: WLT },
  'note-cured': { pair: PAIR, note: NOBODYS_ID, stage: WLT },
  'note-released': { pair: PAIR, note: NOBODYS_ID, why: 'the owner takes the risk' },
  'let-through': { pair: PAIR, stage: WLT, past: 'not-due', why: 'done at the last bench', hand: null },
  'not-needed': { pair: PAIR, stage: INT, why: 'trimmed on the welter' },
  'stage-asked': { pair: PAIR, stages: [LAY], note: null, why: 'the sole came off' },
  'time-given': {
    pair: PAIR,
    of: NOBODYS_ID,
    from: null,
    to: null,
    outcome: null,
    closes: false,
    why: 'the hand says so',
  },
  'looked-into': { pair: PAIR, of: NOBODYS_ID, what: 'out-twice', why: 'both are the same work' },
  voided: { pair: PAIR, of: NOBODYS_ID, why: 'undone at the bench' },
};

/** A kind's own fields. */
export type Said<Kind extends RecordKind> = Omit<RecordOf<Kind>, keyof Envelope | 'kind'>;

/** Anything about a record may be set; what is not set is usual. */
export type Told<Kind extends RecordKind> = Partial<Said<Kind> & Omit<Envelope, 'bench' | 'site'>>;

/** One bench and whoever is on it. */
export interface Hand {
  readonly bench: BenchId;
  write<Kind extends RecordKind>(kind: Kind, told?: Told<Kind>): RecordOf<Kind>;
}

/**
 * A bench that writes records in its sequence.
 * @param from when its first record is made; each later one comes a minute after the last
 */
export function handAt(bench: BenchId, by: OperativeId | null = INES, from: Instant = MONDAY_8): Hand {
  let seq = 0;
  let last = from - MINUTE_MS;
  return {
    bench,
    write(kind, told = {}) {
      seq = told.seq ?? seq + 1;
      last = told.at ?? last + MINUTE_MS;
      const record = {
        id: idOf(bench, seq),
        site: SITE,
        bench,
        seq,
        at: last,
        wall: { ms: last, offsetMs: 0, known: true },
        seen: CURSOR_START,
        by,
        v: 1,
        ...USUAL[kind],
        ...told,
        kind,
      };
      return record as unknown as RecordOf<typeof kind>;
    },
  };
}

/** The id of a bench's record number `seq`. Its clock part is fixed, so an id tells nothing about the order. */
export function idOf(bench: BenchId, seq: number): RecordId {
  const digest = codeHash(`${bench} ${seq}`);
  const random = Uint8Array.from({ length: 10 }, (_, index) =>
    Number.parseInt(digest.slice(index * 2, index * 2 + 2), 16),
  );
  return uuidv7(MONDAY_8, random);
}

/** The records as the server holds them, at positions 1, 2, 3 … in the order given. */
export function placed(records: readonly LedgerRecord[], epoch = EPOCH): readonly Placed[] {
  return records.map((record, index) => ({ record, pos: index + 1, epoch }));
}

/** The records as a tablet holds its own before the server has answered. */
export function unplaced(records: readonly LedgerRecord[]): readonly Placed[] {
  return records.map((record) => ({ record, pos: null, epoch: null }));
}

/** The cursor of a reader who has read up to `pos`. */
export function seenUpTo(pos: number, epoch = EPOCH): Cursor {
  return cursorAt({ epoch, pos });
}

/** The state of `PAIR` after these records, all of them at the server. */
export function stateAfter(...records: readonly LedgerRecord[]): PairState {
  return foldPair(PAIR, placed(records));
}

/** A spell of the state by its clock-in. Fails the test where there is none. */
export function spellOf(state: PairState, clockIn: { readonly id: RecordId }): Spell {
  const spell = state.spells.find(({ id }) => id === clockIn.id);
  if (spell === undefined) throw new Error(`no spell ${clockIn.id}`);
  return spell;
}

export const TOKEN_OF_INES = 'TOKEN';

/**
 * A site's book with three operatives, of whom Ines has the badge `TOKEN_OF_INES`. It is a book from before there
 * were routes: no stage has a machine or reminders, and nothing is known to be missing before another.
 */
export function siteBook(told: Partial<SiteBook> = {}): SiteBook {
  const stage = (code: StageCode, name: string, plain: string) => ({ code, name, plain });
  return siteBookSchema.parse({
    site: SITE,
    name: 'Aldermoor Bench',
    timeZone: 'Europe/London',
    version: 1,
    ticketPattern: null,
    ask: 'Ruth Adeyemi, supervisor',
    closingStage: DSP,
    stages: [
      stage(WLT, 'Welt sewing', 'having the welts sewn'),
      stage(INT, 'Inseam trimming', 'having the inseam trimmed'),
      stage(LAY, 'Sole laying', 'having the soles laid'),
      stage(DSP, 'Despatch', 'on their way'),
    ],
    operatives: [
      { id: INES, name: 'Ines Okafor', role: 'hand' },
      { id: TOMASZ, name: 'Tomasz Lindqvist', role: 'hand' },
      { id: RUTH, name: 'Ruth Adeyemi', role: 'supervisor' },
    ],
    badges: [{ hash: codeHash(TOKEN_OF_INES), operative: INES }],
    benches: [{ bench: WELTING, name: 'Welting', stages: [WLT] }],
    shifts: [],
    ...told,
  });
}

/**
 * What a site begins with: the catalogue's 43 stages with their machines, reminders and waits, its routes and ways,
 * and one rack. Nobody has a list of machines yet.
 */
export const FULL: Partial<SiteBook> = {
  stages: siteStages(STAGES),
  routes: [siteRoutes(STAGES)],
  ways: siteWays(STAGES),
  racks: [{ rack: RACK, name: 'Rack 4' }],
};

/** `siteBook` for a site as it begins. */
export function fullBook(told: Partial<SiteBook> = {}): SiteBook {
  return siteBook({ ...FULL, ...told });
}
