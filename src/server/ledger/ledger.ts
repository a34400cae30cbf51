/**
 * The server's ledger: the contract. `sql-ledger.ts` keeps it in a database; every implementation is held to
 * tests/contract/server-ledger.ts.
 *
 * - `append` is one transaction, and what it answers is durable: power lost after the answer loses nothing.
 * - A record is held once. The same id with the same content is `had`; with other content it is `refused`, and what
 *   is held is never overwritten. No record is ever changed or taken out.
 * - Positions of a site are 1, 2, 3 … without a gap, and a record becomes visible in the order of its position: a
 *   reader who has read up to a position has missed nothing before it, however many writers there are.
 * - What a newer tablet made, and this version cannot read, is held as it came.
 * - A `seq` that a bench used twice (a tablet restored from a copy) is held twice and reported, never dropped.
 * - Keys, badges and set-up codes are held as hashes alone.
 * - A photograph is held once, under the hash of its bytes, apart from the records that name it.
 */
import type { Calendar } from '../../domain/calendar/calendar.ts';
import type { BenchId, PairId, RecordId, SiteId, StageCode } from '../../domain/ids.ts';
import type { Instant } from '../../domain/instant.ts';
import type { SiteBook } from '../../domain/site-book.ts';
import type { PLACES } from '../../wire/enrol.ts';
import type { PhotoType } from '../../wire/photo.ts';
import type { PushAnswer } from '../../wire/push.ts';
import type { FactsHead, KeptFacts, PairHere } from './facts-cache.ts';

export type Place = (typeof PLACES)[number];
/** Whose a key can be: a reader is no place, enrols nowhere and writes nothing. */
export type KeyPlace = Place | 'reader';
export type AppendAnswer = PushAnswer['answers'][number];

/** A record as the ledger holds it: its place, and its JSON text as its tablet made it. */
export interface Held {
  readonly pos: number;
  readonly json: string;
}

/** How the ledger stands, and for `heldSeq` how it stands with one bench. */
export interface Standing {
  readonly dataset: string;
  readonly epoch: string;
  /** Position of the newest record, 0 for none. */
  readonly head: number;
  /** Version of the site's book. */
  readonly book: number;
  /** The highest `seq` held of the bench, 0 for none. */
  readonly heldSeq: number;
}

export interface Writer {
  readonly site: SiteId;
  readonly bench: BenchId;
  readonly place: KeyPlace;
}

export interface BenchEntry extends Writer {
  readonly name: string;
  readonly stages: readonly StageCode[];
  readonly lane: number;
  /** The browser's answer to asking for lasting storage; null where it cannot say. */
  readonly persisted: boolean | null;
  readonly enrolledAt: Instant;
  readonly revokedAt: Instant | null;
}

/** What a set-up code lets somebody enrol. */
export interface SetUpCode {
  readonly hash: string;
  readonly name: string;
  readonly place: Place;
  readonly stages: readonly StageCode[];
  readonly until: Instant;
  readonly uses: number;
}

/** What an enrolling tablet brings: ids and the hash of its key are drawn by the caller. */
export interface Enrolling {
  readonly codeHash: string;
  readonly keyHash: string;
  readonly bench: BenchId;
  readonly persisted: boolean | null;
  readonly now: Instant;
}

export type Enrolled =
  | {
      readonly is: 'enrolled';
      readonly entry: BenchEntry & { readonly place: Place };
      readonly dataset: string;
      readonly book: SiteBook;
    }
  | { readonly is: 'code-unknown' | 'code-used' | 'code-expired' | 'lanes-used-up' };

/** Where a bench's sequence does not run 1, 2, 3 …: records that never came, or a number used twice. */
export type SequenceFault =
  | { readonly bench: BenchId; readonly is: 'missing'; readonly from: number; readonly to: number }
  | {
      readonly bench: BenchId;
      readonly is: 'doubled';
      readonly seq: number;
      readonly records: readonly RecordId[];
    };

/** A program that may read. Its id and the hash of its key are drawn by the caller. */
export interface NewReader {
  readonly reader: BenchId;
  readonly name: string;
  readonly keyHash: string;
  readonly now: Instant;
}

export interface NewSite {
  readonly book: SiteBook;
  readonly calendar: Calendar;
  readonly dataset: string;
  readonly epoch: string;
}

/** A photograph whose bytes have been found to be of this type and to have this SHA-256. */
export interface NewPhoto {
  readonly photo: string;
  readonly type: PhotoType;
  readonly body: Uint8Array;
}

export type HeldPhoto = Omit<NewPhoto, 'photo'>;

export interface ServerLedger {
  /**
   * Takes records from one bench, in their order, and answers for each by its index. A record of another bench or
   * site, or one that does not read, is refused by itself; the others are held.
   * @param raws as parsed from JSON; nothing is assumed of them
   */
  append(writer: Writer, raws: readonly unknown[], receivedAt: Instant): Promise<readonly AppendAnswer[]>;

  /** Records after position `after` in the order of their positions, at most `limit`. */
  read(site: SiteId, after: number, limit: number): Promise<readonly Held[]>;
  recordsOfPair(site: SiteId, pair: PairId): Promise<readonly Held[]>;
  /** Records with `from` <= `at` < `to`, by `at`. Read in pages: a year of them need not fit in memory. */
  recordsBetween(site: SiteId, from: Instant, to: Instant): AsyncIterable<Held>;
  /** The records of each of these pairs up to position `upTo`, in their order. */
  recordsOfPairs(
    site: SiteId,
    pairs: readonly PairId[],
    upTo: number,
  ): Promise<ReadonlyMap<PairId, readonly Held[]>>;
  /** The records of these kinds up to position `upTo`, in their order; meant for kinds that are rare. */
  recordsOfKinds(site: SiteId, kinds: readonly string[], upTo: number): Promise<readonly Held[]>;
  /** The pairs that records with an `at` of `from` or later are about, each once. */
  pairsSince(site: SiteId, from: Instant): Promise<readonly PairId[]>;
  /** The pairs that records after position `after` and up to `upTo` are about, each once, by the last of them. */
  pairsTouched(site: SiteId, after: number, upTo: number): Promise<readonly PairId[]>;
  /** The pairs that records with `from` <= `at` < `to` are about, each once, by their tickets. */
  pairsBetween(site: SiteId, from: Instant, to: Instant): Promise<readonly PairId[]>;
  sequenceFaults(site: SiteId): Promise<readonly SequenceFault[]>;

  /** Null for a site that is not here. */
  standing(site: SiteId, bench: BenchId): Promise<Standing | null>;
  sites(): Promise<readonly SiteId[]>;
  /** @throws Error when the site is here already */
  createSite(site: NewSite): Promise<void>;
  /** After a restore from a backup: every cursor given before becomes void, and readers begin anew. */
  startEpoch(site: SiteId, epoch: string): Promise<void>;

  book(site: SiteId): Promise<SiteBook | null>;
  /**
   * Changes the book in one transaction and raises its version; where `change` gives back the very same object,
   * nothing is written. @throws ZodError when the changed book is no book, and then nothing is written
   */
  changeBook(site: SiteId, change: (book: SiteBook) => SiteBook): Promise<SiteBook>;
  /** An empty one for a site that is not here. */
  calendar(site: SiteId): Promise<Calendar>;
  /** @throws ZodError when it is no calendar, and then nothing is written */
  setCalendar(site: SiteId, calendar: Calendar): Promise<void>;
  /**
   * Changes the calendar in one transaction, so that two changes made at once come one after the other; where `change`
   * gives back the very same object, nothing is written. @throws ZodError when what it gives back is no calendar
   */
  changeCalendar(site: SiteId, change: (calendar: Calendar) => Calendar): Promise<void>;

  addSetUpCode(site: SiteId, code: SetUpCode): Promise<void>;
  /** Uses a code once and enters the bench, in one transaction: two tablets cannot share the last use. */
  enrol(enrolling: Enrolling): Promise<Enrolled>;
  /** Enters a reader among the benches, where its key is looked up and taken back as theirs are; null where one of that name stands. */
  addReader(site: SiteId, reader: NewReader): Promise<BenchEntry | null>;
  /** Whose key this is, revoked or not; null for nobody's. */
  benchOfKey(keyHash: string): Promise<BenchEntry | null>;
  bench(site: SiteId, bench: BenchId): Promise<BenchEntry | null>;
  benches(site: SiteId): Promise<readonly BenchEntry[]>;
  /** False where there is no such bench; revoking twice keeps the first time. */
  revokeBench(site: SiteId, bench: BenchId, at: Instant): Promise<boolean>;

  /**
   * The secret by which hands get their pseudonyms, 64 hexadecimal digits: the same one ever after.
   * @param drawn taken where the site has none yet
   */
  pseudonymKey(site: SiteId, drawn: string): Promise<string>;

  /** Durable when it resolves. The same bytes again are `had`, whoever sends them. */
  keepPhoto(writer: Writer, photo: NewPhoto, receivedAt: Instant): Promise<'stored' | 'had'>;
  /** How far the cache of facts has come; null where it was never begun. See `facts-cache.ts`. */
  factsHead(site: SiteId): Promise<FactsHead | null>;
  /** Empties the cache and begins anew; false where somebody else has moved it from `before`. */
  beginFacts(
    site: SiteId,
    before: FactsHead | null,
    anew: Pick<FactsHead, 'epoch' | 'stamp'>,
  ): Promise<boolean>;
  /** Keeps facts and moves the cache on in one transaction; false, and nothing kept, where somebody else has moved it. */
  keepFacts(site: SiteId, before: FactsHead, after: FactsHead, kept: readonly KeptFacts[]): Promise<boolean>;
  /** The facts of the pairs that were in the works at some time of `from` … `to`. */
  factsBetween(site: SiteId, from: Instant, to: Instant): Promise<readonly string[]>;
  pairsHere(site: SiteId, from: Instant, to: Instant): Promise<readonly PairHere[]>;
  /** Records of these kinds with `from` <= `at` < `to`, by `at`. */
  recordsOfKindsBetween(
    site: SiteId,
    kinds: readonly string[],
    from: Instant,
    to: Instant,
  ): Promise<readonly Held[]>;

  /** Null where the site holds no such photograph, whatever other sites hold. */
  photo(site: SiteId, photo: string): Promise<HeldPhoto | null>;

  close(): Promise<void>;
}
