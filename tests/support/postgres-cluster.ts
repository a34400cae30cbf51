/**
 * A PostgreSQL of our own from Debian's package: in a temporary folder, reached by a socket in it, gone afterwards.
 * It runs as the user that the package made, since it refuses to run as root.
 */
import { execFileSync, type SpawnSyncOptions, spawnSync } from 'node:child_process';
import {
  appendFileSync,
  chownSync,
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { delimiter, join } from 'node:path';

const DEBIAN = '/usr/lib/postgresql';
const START_S = 60;
/** `fsync` and `synchronous_commit` stay on: the server refuses anything else. */
const SETTINGS = [
  "listen_addresses = ''",
  'max_connections = 100',
  'shared_buffers = 32MB',
  'max_wal_size = 256MB',
  'log_min_messages = fatal',
];

export interface PostgresCluster {
  /** Address of a database in it, or of another one of that name. */
  url(database?: string): string;
  /** Process id of the one that starts all others. */
  readonly pid: number;
  /** Whatever was in it is gone. Callable while the process ends. */
  stop(): void;
}

/** The folder with `initdb` and `pg_ctl`: on the path, or where Debian puts the newest. Null where there is none. */
export function postgresPrograms(): string | null {
  const debian = existsSync(DEBIAN)
    ? readdirSync(DEBIAN)
        .toSorted((a, b) => Number(b) - Number(a))
        .map((version) => join(DEBIAN, version, 'bin'))
    : [];
  const folders = [...debian, ...(process.env.PATH ?? '').split(delimiter)];
  const has = (folder: string) => ['initdb', 'pg_ctl'].every((name) => existsSync(join(folder, name)));
  return folders.find(has) ?? null;
}

/**
 * @param told settings that differ from ours
 * @throws Error with what the programs said when it does not start
 */
export function startPostgres(programs: string, told: readonly string[] = []): PostgresCluster {
  const folder = mkdtempSync(join(tmpdir(), 'waxend-pg-'));
  const user = unprivileged();
  if (user.uid !== undefined && user.gid !== undefined) chownSync(folder, user.uid, user.gid);
  const data = join(folder, 'data');
  const log = join(folder, 'log');
  const said = (name: string, ...args: string[]) => {
    const options: SpawnSyncOptions = { ...user, cwd: folder, stdio: ['ignore', 'ignore', 'pipe'] };
    const { status, stderr, error } = spawnSync(join(programs, name), args, options);
    if (status !== 0) throw new Error(`${name}: ${error?.message ?? String(stderr)}`);
  };
  const stop = () => {
    spawnSync(join(programs, 'pg_ctl'), ['stop', '-D', data, '-m', 'immediate', '-w'], {
      ...user,
      cwd: folder,
      stdio: 'ignore',
    });
    rmSync(folder, { recursive: true, force: true, maxRetries: 5, retryDelay: 100 });
  };
  try {
    const how = ['--auth=trust', '--username=waxend', '--encoding=UTF8', '--locale=C.UTF-8', '--no-sync'];
    said('initdb', '-D', data, ...how);
    const settings = [`unix_socket_directories = '${folder}'`, ...SETTINGS, ...told];
    appendFileSync(join(data, 'postgresql.conf'), `${settings.join('\n')}\n`);
    // Its output must not be our pipe: the server would hold it open for ever.
    said('pg_ctl', 'start', '-D', data, '-w', '-t', String(START_S), '-l', log);
  } catch (cause) {
    const logged = existsSync(log) ? readFileSync(log, 'utf8') : '';
    stop();
    throw new Error(`PostgreSQL does not start\n${logged}`, { cause });
  }
  return {
    url: (database = 'postgres') =>
      `postgres://waxend@localhost/${database}?host=${encodeURIComponent(folder)}`,
    pid: Number(readFileSync(join(data, 'postmaster.pid'), 'utf8').split('\n')[0]),
    stop,
  };
}

/** Nothing to change where we are no root ourselves. */
function unprivileged(): { uid?: number; gid?: number } {
  if (process.getuid?.() !== 0) return {};
  for (const name of ['postgres', 'nobody']) {
    try {
      const id = (flag: string) =>
        Number(execFileSync('id', [flag, name], { stdio: ['ignore', 'pipe', 'ignore'] }));
      return { uid: id('-u'), gid: id('-g') };
    } catch {
      // There is no such user here; the next one will do.
    }
  }
  throw new Error('there is no user to run PostgreSQL as');
}
