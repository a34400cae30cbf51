/**
 * A small site on a real ledger file with a real server process, for the browser tests: three hands with badges, and
 * benches, desks and pairs as a test asks for them. What is asked for is put in through the ledger's own contract, as
 * the office command does beside a running server.
 */
import { type ChildProcess, spawn } from 'node:child_process';
import { randomBytes } from 'node:crypto';
import { existsSync } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import type { Calendar } from '../../src/domain/calendar/calendar.ts';
import { NO_CALENDAR } from '../../src/domain/calendar/versions.ts';
import { issueTicket, issueToken } from '../../src/domain/code.ts';
import { codeHash } from '../../src/domain/code-hash.ts';
import { asBenchId, type OperativeId, type PairId, type StageCode } from '../../src/domain/ids.ts';
import { HOUR_MS } from '../../src/domain/instant.ts';
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import type { SiteBook } from '../../src/domain/site-book.ts';
import type { ServerLedger } from '../../src/server/ledger/ledger.ts';
import { openSqliteLedger } from '../../src/server/ledger/sqlite.ts';
import { EPOCH, fullBook, handAt, INES, RUTH, SITE, siteBook, TOMASZ, type Told } from './builders.ts';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const OFFICE = asBenchId('desk-office');
const TOKEN_BYTES = 64;
const START_MS = 30_000;
/** A lane that no tablet of these tests has: its tickets are good, and nobody logged them. */
const LANE_OF_NOBODY = 600;

/** Every moment of every day, so that a test at midnight is in a shift too. */
const RULES = [{ name: 'Day', days: [1, 2, 3, 4, 5, 6, 7], from: '00:00', to: '00:00', breaks: [] }];
const CALENDAR: Calendar = { ...NO_CALENDAR, versions: [{ since: null, rules: RULES }] };

export interface Pages {
  /** A folder of built pages instead of the project's own. */
  readonly pages?: string;
}

/** A site whose book is from before there were routes: two scans clock a pair in and out at any of its stages. */
export function openSite(): Promise<Site> {
  return open(siteBook);
}

/** A site as it begins today, with every stage, route, way, reminder and machine of the catalogue, and one rack. */
export function fullSite(): Promise<Site> {
  return open(fullBook);
}

async function open(bookOf: typeof siteBook): Promise<Site> {
  if (!existsSync(join(ROOT, 'dist/index.html')))
    throw new Error('The pages are not built. Run: npm run build');
  const folder = await mkdtemp(join(tmpdir(), 'site-'));
  const site = new Site(folder);
  await site.found(bookOf);
  return site;
}

export class Site {
  readonly folder: string;
  readonly badges = { ines: newToken('badge'), tomasz: newToken('badge'), ruth: newToken('badge') };
  /** The office's desk: it writes its records in their sequence. */
  readonly office = handAt(OFFICE, RUTH, Date.now() - HOUR_MS);
  #process: ChildProcess | null = null;
  #port = 0;
  #logged = 0;
  #unlogged = 0;

  constructor(folder: string) {
    this.folder = folder;
  }

  get ledgerFile(): string {
    return join(this.folder, 'ledger.sqlite');
  }

  get url(): string {
    return `http://127.0.0.1:${this.#port}`;
  }

  /** Makes the site's book and its office. */
  found(bookOf: typeof siteBook = siteBook): Promise<void> {
    const badge = (token: string, operative: OperativeId) => ({ hash: codeHash(token), operative });
    const { ines, tomasz, ruth } = this.badges;
    const book = bookOf({
      benches: [],
      badges: [badge(ines, INES), badge(tomasz, TOMASZ), badge(ruth, RUTH)],
    });
    return this.#withLedger(async (ledger) => {
      const dataset = randomBytes(16).toString('hex');
      await ledger.createSite({ book, calendar: CALENDAR, dataset, epoch: EPOCH });
      const office = newToken('bench');
      await ledger.addSetUpCode(SITE, codeFor(office, 'Office', []));
      await ledger.enrol({
        codeHash: codeHash(office),
        keyHash: codeHash(randomBytes(32).toString('hex')),
        bench: OFFICE,
        persisted: true,
        now: Date.now(),
      });
    });
  }

  /** A set-up code that one tablet can use; without stages it makes a desk. */
  async setUpCode(name: string, stages: readonly StageCode[] = []): Promise<string> {
    const token = newToken('bench');
    await this.#withLedger((ledger) => ledger.addSetUpCode(SITE, codeFor(token, name, stages)));
    return token;
  }

  /** A pair that the office has logged, with these notes on it. Log it before the tablet is opened that scans it. */
  async logPair(...notes: readonly Told<'noted'>[]): Promise<PairId> {
    const { pair, next } = issueTicket(0, this.#logged);
    this.#logged = next;
    const logged = this.office.write('pair-logged', { pair });
    const noted = notes.map((told) => this.office.write('noted', { pair, ...told }));
    await this.#append([logged, ...noted]);
    return pair;
  }

  /** What the office writes about pairs beyond logging them: made with `this.office`, in order. */
  append(...records: readonly LedgerRecord[]): Promise<void> {
    return this.#append(records);
  }

  /** Logs a pair as told, and gives its number. */
  async logPairAs(told: Told<'pair-logged'>): Promise<PairId> {
    const { pair, next } = issueTicket(0, this.#logged);
    this.#logged = next;
    await this.#append([this.office.write('pair-logged', { pair, ...told })]);
    return pair;
  }

  /** Changes the book, as the office does beside a running server. */
  changeBook(change: (book: SiteBook) => SiteBook): Promise<void> {
    return this.#withLedger(async (ledger) => {
      await ledger.changeBook(SITE, change);
    });
  }

  /** A ticket whose check character holds and which nobody has logged. */
  ticketOfNobody(): PairId {
    const { pair, next } = issueTicket(LANE_OF_NOBODY, this.#unlogged);
    this.#unlogged = next;
    return pair;
  }

  /** Starts the server, on the port that it had before. Resolves when it listens. */
  async start({ pages }: Pages = {}): Promise<void> {
    const program = pages === undefined ? 'src/server/main.ts' : 'tests/support/serve-pages.ts';
    const started = spawn(process.execPath, ['--import', 'tsx', join(ROOT, program)], {
      cwd: ROOT,
      env: {
        ...process.env,
        WAXEND_DATA: this.folder,
        WAXEND_PORT: String(this.#port),
        WAXEND_HOST: '127.0.0.1',
        ...(pages === undefined ? {} : { PAGES: pages }),
      },
      stdio: ['ignore', 'pipe', 'inherit'],
    });
    this.#process = started;
    this.#port = await portIn(started);
  }

  /** SIGKILL: the server gets no chance to put anything in order. */
  async kill(): Promise<void> {
    const running = this.#process;
    this.#process = null;
    if (running === null || running.exitCode !== null) return;
    const ended = new Promise((resolve) => running.once('exit', resolve));
    running.kill('SIGKILL');
    await ended;
  }

  async close(): Promise<void> {
    await this.kill();
    await rm(this.folder, { recursive: true, force: true });
  }

  async #append(records: readonly LedgerRecord[]): Promise<void> {
    const writer = { site: SITE, bench: OFFICE, place: 'desk' } as const;
    const answers = await this.#withLedger((ledger) => ledger.append(writer, records, Date.now()));
    const refused = answers.find(({ answer }) => answer !== 'stored');
    if (refused !== undefined)
      throw new Error(`the office's record was not taken: ${JSON.stringify(refused)}`);
  }

  async #withLedger<Made>(work: (ledger: ServerLedger) => Promise<Made>): Promise<Made> {
    const ledger = await openSqliteLedger(this.ledgerFile);
    try {
      return await work(ledger);
    } finally {
      await ledger.close();
    }
  }
}

/** A badge, set-up or rack code that is in nobody's book yet. */
export function newToken(kind: 'badge' | 'bench' | 'rack'): string {
  for (;;) {
    const token = issueToken(kind, randomBytes(TOKEN_BYTES));
    if (token !== null) return token;
  }
}

function codeFor(token: string, name: string, stages: readonly StageCode[]) {
  const place = stages.length === 0 ? ('desk' as const) : ('bench' as const);
  return { hash: codeHash(token), name, place, stages, until: Date.now() + HOUR_MS, uses: 1 };
}

/** The server says where it listens in its first line. */
async function portIn(started: ChildProcess): Promise<number> {
  const { stdout } = started;
  if (stdout === null) throw new Error('the server has no output to read');
  const late = setTimeout(() => started.kill('SIGKILL'), START_MS);
  try {
    for await (const line of createInterface(stdout)) {
      const port = /^Listening at http:\/\/127\.0\.0\.1:(\d+)/.exec(line)?.[1];
      if (port !== undefined) return Number(port);
    }
  } finally {
    clearTimeout(late);
    stdout.resume();
  }
  throw new Error('the server ended before it listened');
}
