/**
 * The ledger in a SQLite file: the embedded default, with nothing else to install or run.
 *
 * In WAL mode `synchronous` reads FULL on a new connection and falls to NORMAL with the first write, and NORMAL may
 * lose confirmed records with the power. So it is set after the journal mode, on every connection, and looked at
 * again after a write.
 */
import { setTimeout } from 'node:timers/promises';
import Database from 'better-sqlite3';
import {
  CompiledQuery,
  type DatabaseConnection,
  Kysely,
  type QueryResult,
  SqliteAdapter,
  SqliteDialect,
  SqliteDriver,
} from 'kysely';
import { migrateToLatest } from './migrations/migrate.ts';
import { RecordStatements } from './record-statements.ts';
import { type LedgerWays, SqlLedger } from './sql-ledger.ts';
import { StoreFault } from './store-fault.ts';
import type { Tables } from './tables.ts';

/** How long one process waits for another's transaction before it gives up, and how often it looks. */
const BUSY_MS = 5_000;
const RETRY_MS = 3;
/** Batches differ in length, and each length is a statement of its own. */
const STATEMENTS_MAX = 256;
const FULL = 2;

/**
 * Opens the ledger in `file`, and makes it where there is none.
 * @param file a path, or `:memory:`
 * @param gather see `AppendQueue`: a commit stops this whole process, so nothing joins by itself while it lasts
 * @throws StoreFault or Error when the file cannot be used, is newer than this server, or cannot be made to keep what it confirms
 */
export async function openSqliteLedger(
  file: string,
  gather: LedgerWays['gather'] = null,
): Promise<SqlLedger> {
  const database = openedOrSaid(file);
  const prepared = new PreparedOnce(database);
  const db = new Kysely<Tables>({ dialect: new LedgerDialect(prepared) });
  try {
    await migrateToLatest(db);
    const statements = new RecordStatements((text, values) => prepared.runEach(text, values));
    return new SqlLedger(db, { statements, gather });
  } catch (cause) {
    // Not by kysely: it closes only what it has come to use.
    database.close();
    throw cause;
  }
}

/** What stands in the way of a file is for whoever runs the server: a read-only folder, a full disk, a foreign file. */
function openedOrSaid(file: string): Database.Database {
  try {
    return openDurably(file);
  } catch (cause) {
    if (!(cause instanceof Database.SqliteError)) throw cause;
    throw new StoreFault(`${file} cannot be used as a ledger: ${cause.message} (${cause.code}).`, { cause });
  }
}

/** A connection whose commits are on the disk when they return. */
export function openDurably(file: string): Database.Database {
  const database = new Database(file, { timeout: BUSY_MS });
  try {
    database.pragma('journal_mode = WAL');
    database.pragma('synchronous = FULL');
    database.pragma('foreign_keys = ON');
    assertDurable(database);
    database.pragma('busy_timeout = 0');
    return database;
  } catch (cause) {
    database.close();
    throw cause;
  }
}

/** @throws Error when a commit would not reach the disk */
export function assertDurable(database: Database.Database): void {
  const write = database.transaction(() => database.pragma('user_version = 1'));
  write.immediate();
  if (database.pragma('synchronous', { simple: true }) !== FULL) {
    throw new Error(`${database.name}: commits would not reach the disk (synchronous is not FULL)`);
  }
}

/** Prepares each statement once. */
class PreparedOnce {
  readonly #database: Database.Database;
  readonly #statements = new Map<string, Database.Statement<unknown[]>>();

  constructor(database: Database.Database) {
    this.#database = database;
  }

  prepare(text: string): Database.Statement<unknown[]> {
    const held = this.#statements.get(text);
    if (held !== undefined) return held;
    const statement = this.#database.prepare<unknown[]>(text);
    const [oldest] = this.#statements.keys();
    if (this.#statements.size >= STATEMENTS_MAX && oldest !== undefined) this.#statements.delete(oldest);
    this.#statements.set(text, statement);
    return statement;
  }

  /** Not one of them waits: the transaction holds the lock already. */
  runEach(text: string, values: readonly (readonly unknown[])[]): void {
    const statement = this.prepare(text);
    for (const one of values) statement.run(one);
  }

  get inTransaction(): boolean {
    return this.#database.inTransaction;
  }

  close(): void {
    this.#statements.clear();
    this.#database.close();
  }
}

/**
 * Waits for another process's transaction without holding up this one: SQLite's own waiting would stop every
 * request. A statement that found the file busy has done nothing, so it can simply be given again.
 */
class PatientConnection implements DatabaseConnection {
  readonly #inner: DatabaseConnection;

  constructor(inner: DatabaseConnection) {
    this.#inner = inner;
  }

  async executeQuery<Row>(query: CompiledQuery): Promise<QueryResult<Row>> {
    for (const until = performance.now() + BUSY_MS; ; await setTimeout(RETRY_MS)) {
      try {
        return await this.#inner.executeQuery<Row>(query);
      } catch (cause) {
        const busy = cause instanceof Database.SqliteError && cause.code.startsWith('SQLITE_BUSY');
        if (!busy || performance.now() > until) throw cause;
      }
    }
  }

  streamQuery<Row>(query: CompiledQuery, chunkSize: number): AsyncIterableIterator<QueryResult<Row>> {
    return this.#inner.streamQuery<Row>(query, chunkSize);
  }
}

class LedgerDriver extends SqliteDriver {
  readonly #database: PreparedOnce;

  constructor(config: { readonly database: PreparedOnce }) {
    super(config);
    this.#database = config.database;
  }

  override async acquireConnection(): Promise<DatabaseConnection> {
    return new PatientConnection(await super.acquireConnection());
  }

  /** The lock is taken at once: a transaction that read first would fail when another wrote meanwhile. */
  override async beginTransaction(connection: DatabaseConnection): Promise<void> {
    await connection.executeQuery(CompiledQuery.raw('begin immediate'));
  }

  /** With the disk full SQLite rolls back by itself, and to do it again would hide why. */
  override async rollbackTransaction(connection: DatabaseConnection): Promise<void> {
    if (this.#database.inTransaction) await super.rollbackTransaction(connection);
  }
}

/** SQLite does make tables within a transaction; so two processes can open a new file at once. */
class LedgerAdapter extends SqliteAdapter {
  override get supportsTransactionalDdl(): boolean {
    return true;
  }
}

class LedgerDialect extends SqliteDialect {
  readonly #config: { readonly database: PreparedOnce };

  constructor(database: PreparedOnce) {
    const config = { database };
    super(config);
    this.#config = config;
  }

  override createDriver(): SqliteDriver {
    return new LedgerDriver(this.#config);
  }

  override createAdapter(): SqliteAdapter {
    return new LedgerAdapter();
  }
}
