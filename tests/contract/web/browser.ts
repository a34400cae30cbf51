/** A real Chromium with a profile of its own, started as a process that can be killed, and a server for its page. */
import { type ChildProcess, spawn } from 'node:child_process';
import { readdir, readFile, rm } from 'node:fs/promises';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { type Browser, chromium, type Page } from 'playwright';
import { build } from 'vite';

const EXECUTABLE = process.env.CHROMIUM ?? '/usr/bin/chromium';
const ARGS = [
  '--headless=new',
  '--no-sandbox',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
  '--no-first-run',
  '--remote-debugging-port=0',
];

export interface PageServer {
  readonly url: string;
  close(): Promise<void>;
}

/** Bundles a page's script from the sources and serves it at one address, so that every browser sees one origin. */
export async function servePage(script: URL): Promise<PageServer> {
  const bundle = await build({
    configFile: false,
    logLevel: 'error',
    publicDir: false,
    build: {
      write: false,
      minify: false,
      target: 'es2022',
      lib: { entry: fileURLToPath(script), formats: ['es'] },
    },
  });
  const outputs = (Array.isArray(bundle) ? bundle : [bundle]).flatMap((part) =>
    'output' in part ? part.output : [],
  );
  const chunks = outputs.filter((output) => output.type === 'chunk');
  const entry = chunks.find(({ isEntry }) => isEntry);
  if (entry === undefined) throw new Error(`${script.href} gave no script`);
  // Each under its own name: parts that are read in later name the others by it.
  const codeAt = new Map(chunks.map(({ fileName, code }) => [`/${fileName}`, code]));
  const server = createServer((request, response) => {
    const code = codeAt.get(request.url ?? '/');
    response.setHeader(
      'content-type',
      code === undefined ? 'text/html; charset=utf-8' : 'text/javascript; charset=utf-8',
    );
    response.end(
      code ?? `<!doctype html><title>page</title><script type="module" src="/${entry.fileName}"></script>`,
    );
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const { port } = server.address() as AddressInfo;
  return {
    url: `http://127.0.0.1:${port}/`,
    close: () =>
      new Promise((resolve) => {
        server.closeAllConnections();
        server.close(() => resolve());
      }),
  };
}

export interface RunningBrowser {
  newPage(url: string): Promise<Page>;
  /** SIGKILL to all of its processes: nothing gets a chance to be written. */
  kill(): Promise<void>;
  close(): Promise<void>;
}

export async function startBrowser(profile: string): Promise<RunningBrowser> {
  const portFile = join(profile, 'DevToolsActivePort');
  await rm(portFile, { force: true });
  const started = spawn(EXECUTABLE, [...ARGS, `--user-data-dir=${profile}`, 'about:blank'], {
    // A process group of its own, so that killing it takes the browser's children along and nothing else.
    detached: true,
    stdio: 'ignore',
  });
  const browser = await chromium.connectOverCDP(`http://127.0.0.1:${await portIn(portFile, started)}`);
  return {
    newPage: (url) => newPage(browser, url),
    kill: () => endGroup(started),
    async close() {
      await browser.close();
      await endGroup(started);
    },
  };
}

async function newPage(browser: Browser, url: string): Promise<Page> {
  const [context] = browser.contexts();
  if (context === undefined) throw new Error('the browser has no context');
  const page = await context.newPage();
  await page.goto(url);
  await page.waitForFunction(() => 'ledgerPage' in window);
  return page;
}

async function portIn(file: string, started: ChildProcess): Promise<string> {
  for (let tries = 0; tries < 300; tries += 1) {
    if (started.exitCode !== null) throw new Error(`the browser ended with ${started.exitCode}`);
    const text = await readFile(file, 'utf8').catch(() => '');
    const [port] = text.split('\n');
    if (port) return port;
    await pause(100);
  }
  throw new Error('the browser did not start');
}

/** A machine that is short of everything takes its time; a store must not be opened while its last holder may still live. */
const DEAD_MS = 30_000;
const LOOK_EVERY_MS = 20;

async function endGroup({ pid }: ChildProcess): Promise<void> {
  if (pid === undefined) return;
  try {
    process.kill(-pid, 'SIGKILL');
  } catch {
    // It has ended already.
  }
  for (let waited = 0; await isAlive(pid); waited += LOOK_EVERY_MS) {
    if (waited > DEAD_MS) throw new Error(`the browser ${pid} lives on`);
    await pause(LOOK_EVERY_MS);
  }
}

/** Whether a process of the group still runs. One that has ended and that nobody has asked after holds nothing any more. */
async function isAlive(group: number): Promise<boolean> {
  for (const pid of (await readdir('/proc')).filter((name) => /^\d+$/.test(name))) {
    const stat = await readFile(`/proc/${pid}/stat`, 'utf8').catch(() => '');
    // proc(5): after the name in brackets come state, parent and process group.
    const [state, , ofGroup] = stat.slice(stat.lastIndexOf(')') + 2).split(' ');
    if (Number(ofGroup) === group && state !== 'Z' && state !== 'X') return true;
  }
  return false;
}
