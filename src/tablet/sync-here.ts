/** The sync loop over this device, whoever runs it: a window, or the service worker while none does. */
import type { DeviceClock } from './device/clock.ts';
import { maybeOnline } from './device/online.ts';
import { sleep } from './device/sleep.ts';
import type { Enrolment, TabletLedger } from './ledger/ledger.ts';
import { httpParts, httpServer } from './sync/http-server.ts';
import { SyncLoop } from './sync/loop.ts';

/** Held by the one that talks to the server for a bench; a desk in the same browser has its own. */
export const SYNC_LOCK = 'waxend-sync';

/** @param restMs how long it waits before it asks again by itself */
export function syncHere(
  ledger: TabletLedger,
  clock: DeviceClock,
  enrolment: Enrolment,
  restMs: () => number,
) {
  const http = {
    base: location.origin,
    key: enrolment.key,
    site: enrolment.site,
    fetch: fetch.bind(globalThis),
    now: () => clock.now(),
    maybeOnline,
  };
  const loop = new SyncLoop({
    ledger,
    server: httpServer(http),
    parts: httpParts(http),
    enrolment,
    clock,
    sleep,
    random: Math.random,
    restMs,
  });
  return { http, loop };
}
