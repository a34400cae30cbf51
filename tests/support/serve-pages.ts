/** The server as `src/server/main.ts` puts it together, with the built pages of any folder: for tests of updates. */
import { randomBytes } from 'node:crypto';
import { join } from 'node:path';
import { Announcer } from '../../src/server/announcer.ts';
import { createApp } from '../../src/server/app.ts';
import { openSqliteLedger } from '../../src/server/ledger/sqlite.ts';
import { logToStderr } from '../../src/server/log.ts';
import { DEFAULT_CONFIG } from '../../src/server/parts.ts';
import { listen } from '../../src/server/serve.ts';
import { settingsFrom } from '../../src/server/settings.ts';

const settings = settingsFrom(process.env);
const ledger = await openSqliteLedger(join(settings.data, 'ledger.sqlite'));
const announcer = new Announcer();
const app = createApp({
  ledger,
  clock: () => Date.now(),
  random: (bytes) => randomBytes(bytes),
  announcer,
  log: logToStderr,
  config: { ...DEFAULT_CONFIG, staticFolder: process.env.PAGES ?? null },
});
const { url } = await listen(app, announcer, settings);
console.log(`Listening at ${url}`);
