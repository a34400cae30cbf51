/**
 * The servers: several processes over one database, behind a balancer. Each is the real app over the real ledger.
 * They die at a statement and are started again, and the database is put back from a copy.
 */
import { rmSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import type { BenchId } from '../../src/domain/ids.ts';
import { Announcer } from '../../src/server/announcer.ts';
import { createApp } from '../../src/server/app.ts';
import type { ServerLedger } from '../../src/server/ledger/ledger.ts';
import { openSqliteLedger } from '../../src/server/ledger/sqlite.ts';
import { DEFAULT_CONFIG } from '../../src/server/parts.ts';
import { SITE } from '../support/builders.ts';
import type { BrokenBuild } from './broken-build.ts';
import { Chance } from './chance.ts';
import { Guard, guardedBy } from './deadly-database.ts';
import { over } from './over.ts';
import type { Plan } from './plan.ts';
import type { Register } from './register.ts';
import { never, type Scheduler } from './scheduler.ts';
import type { Story } from './story.ts';
import { copyOf, putDown } from './template.ts';

export interface Asked {
  readonly url: URL;
  readonly method: string;
  readonly headers: Headers;
  readonly body: BodyInit | null;
}
/** `cut`: the connection was lost; the sender cannot know whether anything was done. */
export type Answered =
  | { readonly is: 'answer'; readonly status: number; readonly headers: Headers; readonly text: string }
  | { readonly is: 'no-server' | 'cut' };

export interface HeldRow {
  readonly pos: number;
  readonly id: string;
  readonly bench: string;
  readonly seq: number;
  readonly json: string;
}
export interface Held {
  readonly epoch: string;
  readonly rows: readonly HeldRow[];
  readonly revoked: ReadonlySet<string>;
}

interface Process {
  readonly name: string;
  readonly guard: Guard;
  readonly ledger: ServerLedger;
  readonly app: ReturnType<typeof createApp>;
  alive: boolean;
}

export interface HouseParts {
  readonly plan: Plan;
  readonly scheduler: Scheduler;
  readonly story: Story;
  readonly register: Register;
  readonly broken: BrokenBuild;
  readonly folder: string;
  readonly count: (fault: string) => void;
  readonly onNews: () => void;
}

const RESTART_MS_MAX = 20_000;
/** What every request is refused with while the database is put back. */
const LOGGED_FAULTS = new Set(['the process was killed', 'The database connection is not open']);

export class ServerHouse {
  readonly #parts: HouseParts;
  readonly #chance: Chance;
  readonly #processes: (Process | null)[] = [];
  #file = '';
  #files = 0;
  #requests = 0;
  #epochs = 0;
  #closed = false;
  requests = 0;

  constructor(parts: HouseParts) {
    this.#parts = parts;
    this.#chance = new Chance(`${parts.plan.seed} servers`);
  }

  async open(database: Buffer): Promise<void> {
    this.#putDown(database);
    for (let index = 0; index < this.#parts.plan.processes; index += 1) await this.#start(index);
  }

  /** Answers at its own time, or never calls back where the whole run ends first. */
  take(asked: Asked, answer: (answered: Answered) => void): void {
    this.#requests += 1;
    this.requests += 1;
    const running = this.#processes.filter((process) => process !== null);
    if (running.length === 0) {
      answer({ is: 'no-server' });
      return;
    }
    const process = this.#chance.of(running);
    const number = this.#requests;
    this.#parts.story.note(process.name, `request ${number}: ${asked.method} ${asked.url.pathname}`);
    void this.#parts.scheduler.work(async () => {
      const response = await process.app.fetch(
        new Request(asked.url, { method: asked.method, headers: asked.headers, body: asked.body }),
      );
      const text = await textOf(response);
      if (!process.alive) return answer({ is: 'cut' });
      this.#parts.story.note(
        process.name,
        `answers ${number} with ${response.status}, ${text.length} characters`,
      );
      answer({ is: 'answer', status: response.status, headers: response.headers, text });
    });
  }

  killAt(index: number, statement: number): void {
    this.#processes[index % this.#processes.length]?.guard.dieAt(statement);
  }

  /** A whole copy of the database, as the backup command makes it beside running servers. */
  backup(): Buffer {
    return copyOf(this.#file);
  }

  /** Puts the database back as it was, under a new epoch. */
  async restore(database: Buffer): Promise<void> {
    const { story, broken, scheduler } = this.#parts;
    for (const process of this.#processes) if (process !== null) this.#end(process);
    this.#putDown(database);
    await scheduler.work(async () => {
      for (const index of this.#processes.keys()) await this.#start(index);
      this.#epochs += 1;
      const epoch = this.#epochs.toString(16).padStart(8, 'e');
      if (broken.restoresWithoutNewEpoch !== true) await this.ledger.startEpoch(SITE, epoch);
    });
    story.tell('server', 'was put back from a backup');
  }

  /** As the office does it: by a process of its own beside the servers. */
  async revoke(bench: BenchId): Promise<void> {
    const { scheduler } = this.#parts;
    await scheduler.work(async () => {
      const office = await openSqliteLedger(this.#file);
      await office.revokeBench(SITE, bench, Math.round(scheduler.now));
      await office.close();
    });
  }

  /** What the database holds, past all ledgers. */
  held(): Held {
    return this.#look((database) => {
      const rows = database.prepare('select pos, id, bench, seq, json from records order by pos').all();
      return { ...siteIn(database), rows: rows as HeldRow[] };
    });
  }

  /** How far the ledger goes, past all ledgers. */
  head(): { readonly epoch: string; readonly pos: number; readonly revoked: ReadonlySet<string> } {
    return this.#look((database) => {
      const { pos } = database.prepare('select max(pos) as pos from records').get() as { pos: number | null };
      return { ...siteIn(database), pos: pos ?? 0 };
    });
  }

  #look<Seen>(look: (database: Database.Database) => Seen): Seen {
    const database = new Database(this.#file, { readonly: true });
    try {
      return look(database);
    } finally {
      database.close();
    }
  }

  /** The ledger of a running process, whatever the broken build does to it, for looking at what is held. */
  get ledger(): ServerLedger {
    const process = this.#processes.find((one) => one !== null);
    if (process === undefined || process === null) throw new Error('no server is running');
    return process.ledger;
  }

  /** All faults are over: who is not running is started. */
  async heal(): Promise<void> {
    for (const [index, process] of this.#processes.entries()) {
      process?.guard.dieAt(Infinity);
      if (process === null) await this.#parts.scheduler.work(() => this.#start(index));
    }
  }

  close(): void {
    this.#closed = true;
    for (const process of this.#processes) process?.guard.end();
    for (let file = 1; file <= this.#files; file += 1)
      for (const beside of ['', '-wal', '-shm']) rmSync(`${this.#nameOf(file)}${beside}`, { force: true });
  }

  #nameOf(file: number): string {
    return join(this.#parts.folder, `ledger-${this.#parts.plan.seed}-${file}.sqlite`);
  }

  #putDown(database: Buffer): void {
    this.#files += 1;
    this.#file = this.#nameOf(this.#files);
    putDown(database, this.#file);
  }

  async #start(index: number): Promise<void> {
    const { plan, scheduler, broken, onNews } = this.#parts;
    const name = `server ${'abc'[index]}`;
    let process: Process | null = null;
    const guard = new Guard(() => {
      if (process !== null) this.#died(index, process);
    });
    const ledger = await guardedBy(guard, () => openSqliteLedger(this.#file));
    const dealtWith =
      broken.serverLedger?.(ledger, { scheduler, alive: () => process?.alive === true }) ?? ledger;
    const announcer = new Announcer();
    announcer.subscribe(SITE, { news: onNews, stop: () => undefined });
    const app = createApp({
      ledger: slow(
        dealtWith,
        scheduler,
        new Chance(`${plan.seed} ${name} ${scheduler.now}`),
        plan.serverStoreMs,
        () => process?.alive === true,
      ),
      clock: () => Math.round(scheduler.now),
      random: (bytes) => this.#chance.bytes(bytes),
      announcer,
      log: (event, details) => this.#log(event, details),
      config: DEFAULT_CONFIG,
    });
    process = { name, guard, ledger: dealtWith, app, alive: true };
    this.#processes[index] = process;
  }

  #died(index: number, process: Process): void {
    const { story, scheduler } = this.#parts;
    process.alive = false;
    this.#processes[index] = null;
    this.#parts.count('server-killed');
    story.tell(process.name, 'was killed between two statements');
    scheduler.after(this.#chance.whole(500, RESTART_MS_MAX), () => {
      if (this.#closed || this.#processes[index] !== null) return;
      void scheduler.work(() => this.#start(index)).then(() => story.tell(process.name, 'runs again'));
    });
  }

  #end(process: Process): void {
    process.alive = false;
    process.guard.end();
  }

  #log(event: string, details: object): void {
    const message = 'message' in details ? String(details.message) : '';
    if (!LOGGED_FAULTS.has(message))
      this.#parts.register.violate('no server breaks', `${event} ${JSON.stringify(details)}`);
  }
}

function siteIn(database: Database.Database): Omit<Held, 'rows'> {
  const { epoch } = database.prepare('select epoch from sites').get() as { epoch: string };
  const revoked = database.prepare('select bench from benches where revoked_at is not null').all();
  return { epoch, revoked: new Set((revoked as { bench: string }[]).map(({ bench }) => bench)) };
}

async function textOf(response: Response): Promise<string> {
  if (response.headers.get('content-encoding') !== 'gzip' || response.body === null) return response.text();
  return new Response(response.body.pipeThrough(new DecompressionStream('gzip'))).text();
}

/** Each call of the ledger takes some time, so that requests of several tablets and processes come between. */
function slow(
  ledger: ServerLedger,
  scheduler: Scheduler,
  chance: Chance,
  ms: number,
  alive: () => boolean,
): ServerLedger {
  if (ms === 0) return ledger;
  const delayed =
    <Given extends unknown[], Made>(call: (...given: Given) => Promise<Made>) =>
    async (...given: Given): Promise<Made> => {
      await scheduler.outside<void>((resolve) => {
        scheduler.after(chance.whole(0, ms), () => {
          if (alive()) resolve();
        });
      });
      return alive() ? call(...given) : never();
    };
  return over(ledger, {
    append: delayed(ledger.append.bind(ledger)),
    read: delayed(ledger.read.bind(ledger)),
    standing: delayed(ledger.standing.bind(ledger)),
    benchOfKey: delayed(ledger.benchOfKey.bind(ledger)),
    book: delayed(ledger.book.bind(ledger)),
  });
}
