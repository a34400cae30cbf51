/**
 * Sends what waits on this tablet from its service worker: one round of the very loop that a window runs, under the lock
 * that a window holds while it talks to the server. So there is one that talks, whoever it is.
 */
import { DeviceClock } from './device/clock.ts';
import { IdbLedger, LEDGER_NAME } from './ledger/idb-ledger.ts';
import type { Enrolment } from './ledger/ledger.ts';
import { LEDGER_CHANNEL } from './ledger/notices.ts';
import { POLL_MS } from './sync/loop.ts';
import type { ServerState } from './sync/status.ts';
import { SYNC_LOCK, syncHere } from './sync-here.ts';

/** A window that is opened meanwhile waits for the lock: not for longer than this. */
const ROUND_MS_MAX = 60_000;

/** @throws Error where something still waits and could not be sent: that is worth another try later */
export async function drainOutbox(): Promise<void> {
  // To look must not make a store on a tablet that has none.
  const stores = await indexedDB.databases();
  if (!stores.some(({ name }) => name === LEDGER_NAME)) return;
  const ledger = new IdbLedger({ channel: new BroadcastChannel(LEDGER_CHANNEL) });
  try {
    const { enrolment, offsets } = await ledger.settings();
    if (enrolment === null || (await ledger.outbox()).waiting === 0) return;
    const clock = new DeviceClock();
    clock.recall(offsets);
    const server = await navigator.locks.request(SYNC_LOCK, { ifAvailable: true }, (lock) =>
      lock === null ? null : oneRound(ledger, clock, enrolment),
    );
    // A tablet that the server would not have now is not made welcome by asking again in minutes.
    if (server?.is === 'paused' || server?.is === 'stopped') return;
    if ((await ledger.outbox()).waiting > 0)
      throw new Error(`records wait: ${server?.is ?? 'a window is at it'}`);
  } finally {
    ledger.close();
  }
}

/** @returns how the server stood at the end of the first round */
async function oneRound(ledger: IdbLedger, clock: DeviceClock, enrolment: Enrolment): Promise<ServerState> {
  const { loop } = syncHere(ledger, clock, enrolment, () => POLL_MS);
  const over = new AbortController();
  const late = setTimeout(() => over.abort(), ROUND_MS_MAX);
  loop.watch(({ server }) => {
    if (server.is !== 'not-tried') over.abort();
  });
  try {
    await loop.run(over.signal);
  } finally {
    clearTimeout(late);
  }
  return loop.status.server;
}
