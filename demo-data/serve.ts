/**
 * Makes the demo's workshop in a folder of its own and serves it with the real server. The workshop is kept from one
 * start to the next; `--fresh` makes it anew.
 *
 *     npm run demo -- [--fresh] [--port 8787] [--seed 1] [--pairs 150] [--days 30] [--data data/demo]
 */
import { randomBytes } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { Hono } from 'hono';
import { Announcer } from '../src/server/announcer.ts';
import { createApp } from '../src/server/app.ts';
import { openSqliteLedger } from '../src/server/ledger/sqlite.ts';
import { logToStderr } from '../src/server/log.ts';
import { type AppEnv, DEFAULT_CONFIG } from '../src/server/parts.ts';
import { listen } from '../src/server/serve.ts';
import { renewShifts } from '../src/server/shift-renewal.ts';
import { DEMO_CSS, demoPage } from './demo-page.ts';
import { demoPaper } from './demo-paper.ts';
import { GENERATOR, makeWorkshop, type WorkshopSize } from './records.ts';
import { seedDemo } from './seed.ts';
import { SITE_ID } from './workshop.ts';

const root = fileURLToPath(new URL('..', import.meta.url));
const { values } = parseArgs({
  options: {
    fresh: { type: 'boolean', default: false },
    port: { type: 'string', default: '8787' },
    seed: { type: 'string', default: '1' },
    pairs: { type: 'string', default: '150' },
    days: { type: 'string', default: '30' },
    data: { type: 'string', default: join(root, 'data/demo') },
  },
});

const folder = values.data;
if (values.fresh) rmSync(folder, { recursive: true, force: true });
mkdirSync(folder, { recursive: true });
const sizeFile = join(folder, 'workshop.json');
const kept: (WorkshopSize & { readonly generator?: number }) | null = existsSync(sizeFile)
  ? JSON.parse(readFileSync(sizeFile, 'utf8'))
  : null;
// A workshop that an earlier generator made has other tickets than this one would give.
const isNew = kept?.generator !== GENERATOR;
const size: WorkshopSize =
  isNew || kept === null
    ? { seed: whole('seed'), openPairs: whole('pairs'), workingDays: whole('days'), endsAt: Date.now() }
    : kept;

const workshop = makeWorkshop(size);
const file = join(folder, 'ledger.sqlite');
// A start that was broken off half way leaves a ledger that the workshop's file does not vouch for.
if (isNew) for (const end of ['', '-wal', '-shm']) rmSync(file + end, { force: true });
const ledger = await openSqliteLedger(file);
if (isNew) {
  console.log(`Making the workshop: ${workshop.records.length} records …`);
  await seedDemo({ ledger, workshop });
  writeFileSync(sizeFile, JSON.stringify({ ...size, generator: GENERATOR }));
}
await renewShifts(ledger, SITE_ID, Date.now());

const announcer = new Announcer();
const app = createApp({
  ledger,
  clock: () => Date.now(),
  random: (bytes) => randomBytes(bytes),
  announcer,
  log: logToStderr,
  config: { ...DEFAULT_CONFIG, staticFolder: join(root, 'dist') },
});
const withDemo = new Hono<AppEnv>();
withDemo.get('/demo', (c) => c.html(demoPage(workshop)));
withDemo.get('/demo/page.css', (c) => c.body(DEMO_CSS, 200, { 'content-type': 'text/css' }));
withDemo.get('/demo/paper', (c) => c.html(demoPaper(workshop)));
withDemo.route('/', app);

const listening = await listen(withDemo, announcer, { host: '127.0.0.1', port: whole('port'), tls: null });
const address = listening.url.replace('127.0.0.1', 'localhost');
console.log(`
Aldermoor Bench is open.

  Begin here:           ${address}/demo
  Badges and tickets:   ${address}/demo/paper   (print it, or show it to the camera from another screen)
  A bench:              ${address}/bench
  The desk:             ${address}/desk

Stop with Ctrl+C. The workshop is kept in ${folder}; npm run demo -- --fresh makes it anew.`);

for (const signal of ['SIGINT', 'SIGTERM'] as const) {
  process.on(signal, () => {
    void listening.stop().then(() => ledger.close());
  });
}

function whole(option: 'seed' | 'pairs' | 'days' | 'port'): number {
  const number = Number(values[option]);
  if (!Number.isInteger(number) || number < 0) {
    console.error(`--${option} takes a whole number, not ${values[option]}`);
    process.exit(2);
  }
  return number;
}
