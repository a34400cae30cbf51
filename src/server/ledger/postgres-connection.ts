/** How every connection to PostgreSQL is made, and what it must promise before anything is written through it. */
import { Client, type ClientBase, type ClientConfig, types } from 'pg';
import { StoreFault } from './store-fault.ts';

/** How sessions are called in `pg_stat_activity`: a restore must not run beside a server. */
export type SessionName = 'waxend server' | 'waxend office';

/** How long to wait for a connection, for another's lock, and for a process that stopped within a transaction. */
const CONNECT_MS = 5_000;
const LOCK_MS = 5_000;
const IDLE_WITHIN_MS = 30_000;

/** The object identifier of `bigint`, from PostgreSQL's catalogue `pg_type`. */
const INT8 = 20;

type TypeParser = typeof types.getTypeParser;

export function connectionOf(url: string, name: SessionName): ClientConfig {
  return {
    connectionString: url,
    application_name: name,
    connectionTimeoutMillis: CONNECT_MS,
    lock_timeout: LOCK_MS,
    // A server process that hangs in the middle would hold the site's lock for ever.
    idle_in_transaction_session_timeout: IDLE_WITHIN_MS,
    keepAlive: true,
    types: { getTypeParser: parserOf as TypeParser },
  };
}

/**
 * Looks at the settings that this very session has: a role or a database can have its own.
 * @throws StoreFault where a commit could be lost with the power, or a text could come back otherwise than it went in
 */
export async function assertKeeping(client: ClientBase): Promise<void> {
  const { rows } = await client.query<{ name: string; setting: string }>(
    `select name, setting from pg_settings
     where name in ('fsync', 'synchronous_commit', 'server_encoding') order by name`,
  );
  const set = new Map(rows.map(({ name, setting }) => [name, setting]));
  for (const name of ['fsync', 'synchronous_commit']) {
    if ((set.get(name) ?? 'off') === 'off') {
      throw new StoreFault(
        `PostgreSQL has ${name} = off: what was confirmed to a tablet could be lost with the power. ` +
          `Set ${name} = on, then start again.`,
      );
    }
  }
  const encoding = set.get('server_encoding');
  if (encoding !== 'UTF8') {
    throw new StoreFault(`The database has the encoding ${encoding}. Make one in UTF8.`);
  }
  // A record waits for the site's head row and then sees what was committed before: no other level does that.
  await client.query('set session characteristics as transaction isolation level read committed');
}

/** Runs `work` on a connection of its own. */
export async function withClient<Result>(
  url: string,
  name: SessionName,
  work: (client: Client) => Promise<Result>,
): Promise<Result> {
  const client = new Client(connectionOf(url, name));
  // Told by the query that it breaks; without a listener it would end the process.
  client.on('error', () => {});
  try {
    await client.connect();
    return await work(client);
  } finally {
    await client.end().catch(() => {});
  }
}

/** Where the database is, without the password. */
export function placeOf(url: string): string {
  const { hostname, port, pathname, searchParams } = new URL(url);
  const host = searchParams.get('host') ?? (port === '' ? hostname : `${hostname}:${port}`);
  return `PostgreSQL ${pathname.slice(1)} at ${host}`;
}

/** Positions and instants are below 2^53; the driver gives 64-bit numbers as text, for fear of those that are not. */
export function wholeNumber(digits: string): number {
  const value = Number(digits);
  if (!Number.isSafeInteger(value)) throw new RangeError(`${digits} is too large to be counted with`);
  return value;
}

function parserOf(oid: number, format?: 'text' | 'binary') {
  if (oid === INT8 && format !== 'binary') return wholeNumber;
  return types.getTypeParser(oid, format as 'text');
}
