/**
 * The ledger in SQL. Every query is one that SQLite and PostgreSQL both take, so whole numbers come back through
 * `Number`: PostgreSQL gives 64-bit ones as text.
 */
import type { Kysely } from 'kysely';
import type { Calendar } from '../../domain/calendar/calendar.ts';
import type { BenchId, PairId, SiteId } from '../../domain/ids.ts';
import { asPairId, asSiteId } from '../../domain/ids.ts';
import type { Instant } from '../../domain/instant.ts';
import { type SiteBook, siteBookSchema } from '../../domain/site-book.ts';
import { AppendQueue, type Outcome } from './append-queue.ts';
import { bookIn, changeBookIn, enrolIn, entryOf, FIRST_BENCH_LANE } from './enrolment.ts';
import {
  beginFactsIn,
  type FactsHead,
  factsBetweenIn,
  factsHeadIn,
  type KeptFacts,
  keepFactsIn,
  type PairHere,
  pairsHereIn,
} from './facts-cache.ts';
import { appendFits } from './ingest.ts';
import { judge } from './judge.ts';
import type {
  AppendAnswer,
  BenchEntry,
  Enrolled,
  Enrolling,
  Held,
  HeldPhoto,
  NewPhoto,
  NewReader,
  NewSite,
  SequenceFault,
  ServerLedger,
  SetUpCode,
  Standing,
  Writer,
} from './ledger.ts';
import { OftenAsked } from './often-asked.ts';
import { keepPhotoIn, photoIn } from './photos.ts';
import { addReaderIn, pairsBetweenIn, pseudonymKeyIn } from './readers.ts';
import { RecordStatements } from './record-statements.ts';
import { doubledIn, missingIn } from './sequence-faults.ts';
import { calendarIn, changeCalendarIn, setCalendarIn, writtenCalendar } from './stored-calendar.ts';
import type { Tables } from './tables.ts';

const PAGE = 1_000;
/** As many as one statement names. */
const PAIRS_AT_ONCE = 100;

/** What depends on the database and on what else runs in this process. */
export interface LedgerWays {
  readonly statements?: RecordStatements;
  /** See `AppendQueue`. */
  readonly gather?: (() => Promise<unknown>) | null;
}

export class SqlLedger implements ServerLedger {
  readonly #db: Kysely<Tables>;
  readonly #often: OftenAsked;
  readonly #appends: AppendQueue;

  constructor(db: Kysely<Tables>, { statements = new RecordStatements(), gather = null }: LedgerWays = {}) {
    this.#db = db;
    this.#often = new OftenAsked(db);
    this.#appends = new AppendQueue(
      (site, appends) =>
        db.transaction().execute(async (within) => {
          const outcomes: Outcome[] = [];
          for (const { fits, receivedAt } of appends) {
            outcomes.push(await appendFits(within, statements, site, fits, receivedAt));
          }
          return outcomes;
        }),
      gather,
    );
  }

  async append(
    writer: Writer,
    raws: readonly unknown[],
    receivedAt: Instant,
  ): Promise<readonly AppendAnswer[]> {
    // Judged before the transaction, so that the site's lock is not held while reading what was sent.
    const judged = raws.map((raw) => judge(raw, writer));
    const fits = judged.filter((one) => one.is === 'fit');
    const outcome = fits.length === 0 ? [] : await this.#appends.add(writer.site, { fits, receivedAt });
    let next = 0;
    return judged.map((one, index) => {
      if (one.is === 'unfit') return { id: one.id, index, answer: 'refused', reasons: [...one.reasons] };
      const answer = outcome[next++] ?? 'refused';
      const reasons = answer === 'refused' ? ['id: another record is held under it'] : [];
      return { id: one.envelope.id, index, answer, reasons };
    });
  }

  async read(site: SiteId, after: number, limit: number): Promise<readonly Held[]> {
    return this.#often.read(site, after, limit);
  }

  async recordsOfPair(site: SiteId, pair: PairId): Promise<readonly Held[]> {
    const rows = await this.#held(site).where('pair', '=', pair).orderBy('pos').execute();
    return rows.map(heldOf);
  }

  async recordsOfPairs(
    site: SiteId,
    pairs: readonly PairId[],
    upTo: number,
  ): Promise<ReadonlyMap<PairId, readonly Held[]>> {
    const byPair = new Map<PairId, Held[]>(pairs.map((pair) => [pair, []]));
    for (let from = 0; from < pairs.length; from += PAIRS_AT_ONCE) {
      const rows = await this.#held(site)
        .select('pair')
        .where('pair', 'in', pairs.slice(from, from + PAIRS_AT_ONCE))
        .where('pos', '<=', upTo)
        .orderBy('pair')
        .orderBy('pos')
        .execute();
      for (const row of rows) byPair.get(asPairId(row.pair ?? ''))?.push(heldOf(row));
    }
    return byPair;
  }

  async recordsOfKinds(site: SiteId, kinds: readonly string[], upTo: number): Promise<readonly Held[]> {
    const rows = await this.#held(site).where('kind', 'in', kinds).where('pos', '<=', upTo).execute();
    // Put in order here: asked to, the database would go through all records by position for the few of these kinds.
    return rows.map(heldOf).sort((a, b) => a.pos - b.pos);
  }

  async pairsSince(site: SiteId, from: Instant): Promise<readonly PairId[]> {
    const rows = await this.#db
      .selectFrom('records')
      .select('pair')
      .distinct()
      .where('site', '=', site)
      .where('at', '>=', from)
      .where('pair', 'is not', null)
      .execute();
    return rows.map(({ pair }) => asPairId(pair ?? ''));
  }

  async *recordsBetween(site: SiteId, from: Instant, to: Instant): AsyncIterable<Held> {
    let [at, pos] = [from, 0];
    for (;;) {
      const rows = await this.#held(site)
        .select('at')
        .where('at', '>=', at)
        .where('at', '<', to)
        .where(({ eb, or }) => or([eb('at', '>', at), eb('pos', '>', pos)]))
        .orderBy('at')
        .orderBy('pos')
        .limit(PAGE)
        .execute();
      yield* rows.map(heldOf);
      const last = rows.at(-1);
      if (last === undefined || rows.length < PAGE) return;
      [at, pos] = [Number(last.at), Number(last.pos)];
    }
  }

  async pairsTouched(site: SiteId, after: number, upTo: number): Promise<readonly PairId[]> {
    const rows = await this.#db
      .selectFrom('records')
      .select('pair')
      .where('site', '=', site)
      .where('pos', '>', after)
      .where('pos', '<=', upTo)
      .where('pair', 'is not', null)
      .groupBy('pair')
      .orderBy(({ fn }) => fn.max('pos'))
      .execute();
    return rows.map(({ pair }) => asPairId(pair ?? ''));
  }

  async pairsBetween(site: SiteId, from: Instant, to: Instant): Promise<readonly PairId[]> {
    return pairsBetweenIn(this.#db, site, from, to);
  }

  async sequenceFaults(site: SiteId): Promise<readonly SequenceFault[]> {
    return [...(await missingIn(this.#db, site)), ...(await doubledIn(this.#db, site))];
  }

  async standing(site: SiteId, bench: BenchId): Promise<Standing | null> {
    return this.#often.standing(site, bench);
  }

  async sites(): Promise<readonly SiteId[]> {
    const rows = await this.#db.selectFrom('sites').select('site').orderBy('site').execute();
    return rows.map(({ site }) => asSiteId(site));
  }

  async createSite({ book, calendar, dataset, epoch }: NewSite): Promise<void> {
    const { site, version } = siteBookSchema.parse(book);
    await this.#db.transaction().execute(async (within) => {
      await within
        .insertInto('sites')
        .values({ site, dataset, epoch, next_lane: FIRST_BENCH_LANE })
        .execute();
      await within.insertInto('site_head').values({ site, head: 0 }).execute();
      const texts = { book: JSON.stringify(book), shift_rules: writtenCalendar(calendar) };
      await within
        .insertInto('site_books')
        .values({ site, version, ...texts })
        .execute();
    });
  }

  async startEpoch(site: SiteId, epoch: string): Promise<void> {
    await this.#db.updateTable('sites').set({ epoch }).where('site', '=', site).execute();
  }

  async book(site: SiteId): Promise<SiteBook | null> {
    return bookIn(this.#db, site);
  }

  async changeBook(site: SiteId, change: (book: SiteBook) => SiteBook): Promise<SiteBook> {
    return this.#db.transaction().execute((within) => changeBookIn(within, site, change));
  }

  async calendar(site: SiteId): Promise<Calendar> {
    return calendarIn(this.#db, site);
  }

  async setCalendar(site: SiteId, calendar: Calendar): Promise<void> {
    await setCalendarIn(this.#db, site, calendar);
  }

  async changeCalendar(site: SiteId, change: (calendar: Calendar) => Calendar): Promise<void> {
    await this.#db.transaction().execute((within) => changeCalendarIn(within, site, change));
  }

  async addSetUpCode(site: SiteId, code: SetUpCode): Promise<void> {
    const { hash, place, name, stages, until, uses } = code;
    await this.#db
      .insertInto('set_up_codes')
      .values({ site, hash, place, name, stages: JSON.stringify(stages), until, uses_left: uses })
      .execute();
  }

  async enrol(enrolling: Enrolling): Promise<Enrolled> {
    return this.#db.transaction().execute((within) => enrolIn(within, enrolling));
  }

  async addReader(site: SiteId, reader: NewReader): Promise<BenchEntry | null> {
    return this.#db.transaction().execute((within) => addReaderIn(within, site, reader));
  }

  async benchOfKey(keyHash: string): Promise<BenchEntry | null> {
    return this.#often.benchOfKey(keyHash);
  }

  async bench(site: SiteId, bench: BenchId): Promise<BenchEntry | null> {
    const row = await this.#db
      .selectFrom('benches')
      .selectAll()
      .where('site', '=', site)
      .where('bench', '=', bench)
      .executeTakeFirst();
    return row === undefined ? null : entryOf(row);
  }

  async benches(site: SiteId): Promise<readonly BenchEntry[]> {
    const rows = await this.#db
      .selectFrom('benches')
      .selectAll()
      .where('site', '=', site)
      .orderBy('lane')
      .execute();
    return rows.map(entryOf);
  }

  async revokeBench(site: SiteId, bench: BenchId, at: Instant): Promise<boolean> {
    const rows = await this.#db
      .updateTable('benches')
      .set(({ fn, val, ref }) => ({ revoked_at: fn.coalesce(ref('revoked_at'), val(at)) }))
      .where('site', '=', site)
      .where('bench', '=', bench)
      .returning('bench')
      .execute();
    return rows.length > 0;
  }

  async pseudonymKey(site: SiteId, drawn: string): Promise<string> {
    return pseudonymKeyIn(this.#db, site, drawn);
  }

  async keepPhoto(writer: Writer, photo: NewPhoto, receivedAt: Instant): Promise<'stored' | 'had'> {
    return keepPhotoIn(this.#db, writer, photo, receivedAt);
  }

  async photo(site: SiteId, photo: string): Promise<HeldPhoto | null> {
    return photoIn(this.#db, site, photo);
  }

  async factsHead(site: SiteId): Promise<FactsHead | null> {
    return factsHeadIn(this.#db, site);
  }

  async beginFacts(
    site: SiteId,
    before: FactsHead | null,
    anew: Pick<FactsHead, 'epoch' | 'stamp'>,
  ): Promise<boolean> {
    return this.#db.transaction().execute((within) => beginFactsIn(within, site, before, anew));
  }

  async keepFacts(
    site: SiteId,
    before: FactsHead,
    after: FactsHead,
    kept: readonly KeptFacts[],
  ): Promise<boolean> {
    return this.#db.transaction().execute((within) => keepFactsIn(within, site, before, after, kept));
  }

  async factsBetween(site: SiteId, from: Instant, to: Instant): Promise<readonly string[]> {
    return factsBetweenIn(this.#db, site, from, to);
  }

  async pairsHere(site: SiteId, from: Instant, to: Instant): Promise<readonly PairHere[]> {
    return pairsHereIn(this.#db, site, from, to);
  }

  async recordsOfKindsBetween(
    site: SiteId,
    kinds: readonly string[],
    from: Instant,
    to: Instant,
  ): Promise<readonly Held[]> {
    const rows = await this.#held(site)
      .where('kind', 'in', kinds)
      .where('at', '>=', from)
      .where('at', '<', to)
      .orderBy('at')
      .orderBy('pos')
      .execute();
    return rows.map(heldOf);
  }

  async close(): Promise<void> {
    await this.#db.destroy();
  }

  #held(site: SiteId) {
    return this.#db.selectFrom('records').select(['pos', 'json']).where('site', '=', site);
  }
}

function heldOf({ pos, json }: { pos: number; json: string }): Held {
  return { pos: Number(pos), json };
}
