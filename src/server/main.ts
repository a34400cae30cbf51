/** Puts the server together and runs it until it is told to stop. Killed without a word, it loses nothing either. */
import { randomBytes } from 'node:crypto';
import { existsSync, mkdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { HOUR_MS } from '../domain/instant.ts';
import { Announcer } from './announcer.ts';
import { createApp } from './app.ts';
import type { ServerLedger } from './ledger/ledger.ts';
import { nameOf, openLedger, type Store } from './ledger/open-ledger.ts';
import { PostgresNews } from './ledger/postgres-news.ts';
import { StoreFault } from './ledger/store-fault.ts';
import { faultDetails, logToStderr } from './log.ts';
import { newSite } from './new-site.ts';
import { DEFAULT_CONFIG } from './parts.ts';
import { listen } from './serve.ts';
import { type Settings, SettingsFault, settingsFrom, storeOf } from './settings.ts';
import { renewShifts } from './shift-renewal.ts';

const DIST = fileURLToPath(new URL('../../dist', import.meta.url));
const RENEW_MS = 6 * HOUR_MS;

try {
  await run(settingsFrom(process.env));
} catch (fault) {
  if (!(fault instanceof SettingsFault || fault instanceof StoreFault)) throw fault;
  console.error(fault.message);
  process.exitCode = 2;
}

async function run(settings: Settings): Promise<void> {
  const store = storeOf(settings);
  // Names of people are in there: nobody else on this machine reads them.
  if (store.is === 'sqlite') mkdirSync(settings.data, { recursive: true, mode: 0o700 });
  const ledger = await openLedger(store, 'waxend server');
  try {
    await createFirstSite(ledger, settings, store);
    await renewAll(ledger);
  } catch (fault) {
    await ledger.close();
    throw fault;
  }
  const announcer = new Announcer();
  const news = newsOf(store, announcer);
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
  console.log(`Listening at ${listening.url}, ledger in ${nameOf(store)}`);
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
    await news?.close();
    await ledger.close();
  };
  for (const signal of ['SIGTERM', 'SIGINT'] as const) process.on(signal, () => void stop());
}

/** Other processes have news too, where the store is one that several share. */
function newsOf(store: Store, announcer: Announcer): PostgresNews | null {
  if (store.is === 'sqlite') return null;
  const news = new PostgresNews(store.url, {
    heard: (site) => announcer.hear(site),
    missed: () => announcer.hearAll(),
    log: logToStderr,
  });
  announcer.passOn((site) => news.tell(site));
  return news;
}

async function createFirstSite(ledger: ServerLedger, { site }: Settings, store: Store): Promise<void> {
  if ((await ledger.sites()).length > 0) return;
  if (site === null) {
    throw new SettingsFault(
      `There is no site in ${nameOf(store)} yet. For the first start set WAXEND_SITE (a short id), ` +
        'WAXEND_SITE_NAME and WAXEND_TIME_ZONE (as Europe/London).',
    );
  }
  try {
    await ledger.createSite(newSite(site, (bytes) => randomBytes(bytes)));
  } catch (fault) {
    // Two processes may start at once on an empty store: one of them makes the site.
    if ((await ledger.sites()).length === 0) throw fault;
  }
}

async function renewAll(ledger: ServerLedger): Promise<void> {
  for (const site of await ledger.sites()) await renewShifts(ledger, site, Date.now());
}
