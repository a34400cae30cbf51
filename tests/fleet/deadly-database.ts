/**
 * SQLite connections that can be made to die at a statement. The ledger above them is the real one: what it has not
 * committed by then is rolled back by the database itself, as it is when the process dies.
 */
import Database from 'better-sqlite3';

/** Counts a connection's statements, and ends it at one of them. */
export class Guard {
  readonly #onDeath: () => void;
  readonly #connections = new Set<Database.Database>();
  #left = Infinity;
  #dead = false;

  /** @param onDeath called once, in the middle of whatever the process was doing */
  constructor(onDeath: () => void) {
    this.#onDeath = onDeath;
  }

  /** The process dies instead of its nth statement from now on. */
  dieAt(statement: number): void {
    this.#left = statement;
  }

  /** The process ends now: what is open is rolled back. */
  end(): void {
    this.#dead = true;
    for (const connection of this.#connections) connection.close();
    this.#connections.clear();
  }

  attach(connection: Database.Database): void {
    this.#connections.add(connection);
  }

  /** Stands before every statement. */
  pass(): void {
    if (!this.#dead) {
      this.#left -= 1;
      if (this.#left > 0) return;
      this.end();
      this.#onDeath();
    }
    throw new Error('the process was killed');
  }
}

/** Statements as kysely calls them. */
interface Statement {
  readonly reader: boolean;
  all(parameters: readonly unknown[]): unknown[];
  run(parameters: readonly unknown[]): Database.RunResult;
  iterate(parameters: readonly unknown[]): IterableIterator<unknown>;
}

const guards = new WeakMap<Database.Database, Guard>();
let opening: Guard | null = null;

const prepareReally = Database.prototype.prepare as (this: Database.Database, text: string) => Statement;

function prepareGuarded(this: Database.Database, text: string): Statement {
  const statement = prepareReally.call(this, text);
  const guard = guards.get(this) ?? opening;
  if (guard === null) return statement;
  if (!guards.has(this)) {
    guards.set(this, guard);
    guard.attach(this);
  }
  const guarded =
    <Made>(work: (parameters: readonly unknown[]) => Made) =>
    (parameters: readonly unknown[]) => {
      guard.pass();
      return work(parameters);
    };
  return {
    reader: statement.reader,
    all: guarded((parameters) => statement.all(parameters)),
    run: guarded((parameters) => statement.run(parameters)),
    iterate: guarded((parameters) => statement.iterate(parameters)),
  };
}

/** Every connection that `opens` opens is the guard's. One at a time. */
export async function guardedBy<Made>(guard: Guard, opens: () => Promise<Made>): Promise<Made> {
  Database.prototype.prepare = prepareGuarded as unknown as typeof Database.prototype.prepare;
  opening = guard;
  try {
    return await opens();
  } finally {
    opening = null;
  }
}
