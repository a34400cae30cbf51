/** Puts the server together and runs it until it is told to stop. Killed without a word, it loses nothing either. */
import { randomBytes } from 'node:crypto';
import { existsSync, mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { HOUR_MS } from '../domain/instant.ts';
import { Announcer } from './announcer.ts';
import { createApp } from './app.ts';
import type { ServerLedger } from './ledger/ledger.ts';
import { openSqliteLedger } from './ledger/sqlite.ts';
import { faultDetails, logToStderr } from './log.ts';
import { newSite } from './new-site.ts';
import { DEFAULT_CONFIG } from './parts.ts';
import { listen } from './serve.ts';
import { type Settings, SettingsFault, settingsFrom } from './settings.ts';
import { renewShifts } from './shift-renewal.ts';

const DIST = fileURLToPath(new URL('../../dist', import.meta.url));
const RENEW_MS = 6 * HOUR_MS;

try {
  await run(settingsFrom(process.env));
} catch (fault) {
  if (!(fault instanceof SettingsFault)) throw fault;
  console.error(fault.message);
  process.exitCode = 2;
}

async function run(settings: Settings): Promise<void> {
  // Names of people are in there: nobody else on this machine reads them.
  mkdirSync(settings.data, { recursive: true, mode: 0o700 });
  const ledger = await openSqliteLedger(join(settings.data, 'ledger.sqlite'));
  try {
    await createFirstSite(ledger, settings);
    await renewAll(ledger);
  } catch (fault) {
    await ledger.close();
    throw fault;
  }
  const announcer = new Announcer();
  const app = createApp({
    ledger,
    clock: () => Date.now(),
    random: (bytes) => randomBytes(bytes),
    announcer,
    log: logToStderr,
    config: {
      ...DEFAULT_CONFIG,
      staticFolder: existsSync(DIST) ? DIST : null,
      https: settings.tls !== null,
    },
  });
  const listening = await listen(app, announcer, settings);
  console.log(`Listening at ${listening.url}, ledger in ${settings.data}`);
  if (settings.tls === null) {
    console.log('Without TLS a tablet can open the pages only on this machine: see WAXEND_TLS_CERT.');
  }

  const renewing = setInterval(() => {
    renewAll(ledger).catch((fault: unknown) => logToStderr('shifts-not-renewed', faultDetails(fault)));
  }, RENEW_MS);
  let stopping = false;
  const stop = async (): Promise<void> => {
    if (stopping) return;
    stopping = true;
    clearInterval(renewing);
    await listening.stop();
    await ledger.close();
  };
  for (const signal of ['SIGTERM', 'SIGINT'] as const) process.on(signal, () => void stop());
}

async function createFirstSite(ledger: ServerLedger, { site, data }: Settings): Promise<void> {
  if ((await ledger.sites()).length > 0) return;
  if (site === null) {
    throw new SettingsFault(
      `There is no site in ${data} yet. For the first start set WAXEND_SITE (a short id), ` +
        'WAXEND_SITE_NAME and WAXEND_TIME_ZONE (as Europe/London).',
    );
  }
  await ledger.createSite(newSite(site, (bytes) => randomBytes(bytes)));
}

async function renewAll(ledger: ServerLedger): Promise<void> {
  for (const site of await ledger.sites()) await renewShifts(ledger, site, Date.now());
}
