/** The real server in a process of its own, as `npm start` runs it, to be killed as one likes. */
import { type ChildProcess, spawn } from 'node:child_process';
import { randomBytes } from 'node:crypto';
import { once } from 'node:events';
import { fileURLToPath } from 'node:url';
import { codeHash } from '../../src/domain/code-hash.ts';
import { asSiteId } from '../../src/domain/ids.ts';
import { DAY_MS } from '../../src/domain/instant.ts';
import type { Place, ServerLedger } from '../../src/server/ledger/ledger.ts';
import { enrolAnswerSchema } from '../../src/wire/enrol.ts';
import { WLT } from './builders.ts';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const LOOK_EVERY_MS = 10;

const FIRST_SITE = {
  WAXEND_SITE: 'aldermoor',
  WAXEND_SITE_NAME: 'Aldermoor Bench',
  WAXEND_TIME_ZONE: 'Europe/London',
};

export interface ServerProcess {
  readonly url: string;
  readonly pid: number;
  /** What it has written so far. */
  said(): string;
  alive(): boolean;
  /** Ends it, and resolves with its exit code when it has ended; null after a signal that it could not answer. */
  end(signal: NodeJS.Signals): Promise<number | null>;
}

export interface ServerStart {
  readonly environment: Readonly<Record<string, string>>;
  /** Another user to run as, where we are root. */
  readonly uid?: number;
}

/** @throws Error with what it said when it ends instead of listening */
export async function startServer({ environment, uid }: ServerStart): Promise<ServerProcess> {
  const { child, said } = spawned(environment, uid);
  for (;;) {
    const url = /Listening at (\S+),/.exec(said())?.[1];
    if (url !== undefined && child.pid !== undefined) {
      const alive = () => isAlive(child);
      return { url, pid: child.pid, said, alive, end: (signal) => ended(child, signal) };
    }
    if (!isAlive(child)) throw new Error(said());
    await new Promise((resolve) => setTimeout(resolve, LOOK_EVERY_MS));
  }
}

/** Runs it until it ends by itself, which it does where it cannot start. */
export async function refusedStart({
  environment,
  uid,
}: ServerStart): Promise<{ exitCode: number; says: string }> {
  const { child, said } = spawned(environment, uid);
  const [exitCode] = await once(child, 'close');
  return { exitCode: Number(exitCode), says: said() };
}

/** A tablet or a desk of the first site, by a set-up code put straight into the ledger. */
export async function enrolAt(
  url: string,
  ledger: ServerLedger,
  { place = 'bench', name }: { readonly place?: Place; readonly name: string },
) {
  const token = randomBytes(8).toString('hex');
  const code = { hash: codeHash(token), name, place, stages: [WLT], until: Date.now() + DAY_MS, uses: 1 };
  await ledger.addSetUpCode(asSiteId(FIRST_SITE.WAXEND_SITE), code);
  const response = await fetch(`${url}/api/enrol`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ token, persisted: true }),
  });
  const { bench, key } = enrolAnswerSchema.parse(await response.json());
  return { bench, key, authorization: `Bearer ${key}` };
}

function spawned(environment: Readonly<Record<string, string>>, uid?: number) {
  const child = spawn(process.execPath, ['--import', 'tsx', 'src/server/main.ts'], {
    cwd: ROOT,
    env: { ...process.env, WAXEND_PORT: '0', ...FIRST_SITE, ...environment },
    stdio: ['ignore', 'pipe', 'pipe'],
    ...(uid === undefined ? {} : { uid, gid: uid }),
  });
  let text = '';
  for (const stream of [child.stdout, child.stderr]) stream.on('data', (chunk) => (text += String(chunk)));
  return { child, said: () => text };
}

function isAlive({ exitCode, signalCode }: ChildProcess): boolean {
  return exitCode === null && signalCode === null;
}

async function ended(child: ChildProcess, signal: NodeJS.Signals): Promise<number | null> {
  if (isAlive(child)) {
    child.kill(signal);
    await once(child, 'exit');
  }
  return child.exitCode;
}
