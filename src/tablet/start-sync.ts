/** Joins the sync loop to this device: one window of the tablet talks to the server, and the next takes over. */
import type { PairId } from '../domain/ids.ts';
import type { DeviceClock } from './device/clock.ts';
import { whileLeading } from './device/one-leader.ts';
import { watchHints } from './device/online.ts';
import { sleep } from './device/sleep.ts';
import type { Enrolment, TabletLedger } from './ledger/ledger.ts';
import type { PhotoStore } from './photos/photo-store.ts';
import { FETCH_PAIR_MS, fetchPair } from './sync/fetch-pair.ts';
import { httpParts, openLive } from './sync/http-server.ts';
import { listenLive } from './sync/live.ts';
import { POLL_BESIDE_LIVE_MS, POLL_MS, type SyncLoop } from './sync/loop.ts';
import type { SyncStatus } from './sync/status.ts';
import { SYNC_LOCK, syncHere } from './sync-here.ts';

export interface RunningSync {
  wake(): void;
  /**
   * Asks the server for a pair that is not held, for a second and a half at most.
   * @returns whether it is held now with all that the server knows of it
   */
  fetchPair(pair: PairId): Promise<boolean>;
  stop(): void;
}

/** @param lock held by the one window that talks; a desk in the same browser has its own */
export function startSync(
  ledger: TabletLedger & { readonly photos: PhotoStore },
  clock: DeviceClock,
  enrolment: Enrolment,
  onStatus: (status: SyncStatus) => void,
  lock = SYNC_LOCK,
): RunningSync {
  const ending = new AbortController();
  let live = false;
  const { http, loop } = syncHere(ledger, clock, enrolment, () => (live ? POLL_BESIDE_LIVE_MS : POLL_MS));
  loop.watch(onStatus);
  /** Photographs go after the records, by a part that the first scan need not wait for. */
  let wakeUploads: (hint: Parameters<SyncLoop['wake']>[0]) => void = () => {};
  const upload = async (signal: AbortSignal) => {
    const [{ PhotoUploader }, { photoServer }] = await Promise.all([
      import('./photos/upload.ts'),
      import('./photos/photo-server.ts'),
    ]);
    const uploader = new PhotoUploader({
      photos: ledger.photos,
      ledger,
      server: photoServer(http),
      dataset: enrolment.dataset,
      sleep,
      random: Math.random,
    });
    wakeUploads = (hint) => uploader.wake(hint);
    await uploader.run(signal);
  };
  /** A desk keeps what it has read: it is asked about pairs that left long ago. */
  const forget = async (signal: AbortSignal) => {
    if (enrolment.place === 'desk') return;
    const { forgetDaily } = await import('./sync/forget-old.ts');
    const now = () => {
      const { ms, offsetMs } = clock.wall();
      return ms + offsetMs;
    };
    await forgetDaily({ ledger, now, sleep }, signal);
  };
  const stopHints = watchHints((hint) => {
    loop.wake(hint);
    wakeUploads(hint);
  });
  const listen = (signal: AbortSignal) =>
    listenLive(
      {
        connect: (until) => openLive(http, until),
        sleep,
        random: Math.random,
        onNews: () => loop.wake('live'),
        onUp: (up) => {
          live = up;
        },
      },
      signal,
    );
  void whileLeading(
    lock,
    async (signal) => {
      await Promise.all([loop.run(signal), listen(signal), upload(signal), forget(signal)]);
    },
    ending.signal,
  ).catch((cause: unknown) => {
    // A programming mistake; the page must not go on looking as if records were being sent.
    onStatus({ ...loop.status, server: { is: 'unreachable', why: 'fault' } });
    throw cause;
  });
  return {
    wake: () => loop.wake('record'),
    fetchPair: (pair) => {
      const parts = httpParts({ ...http, timeoutMs: FETCH_PAIR_MS });
      return fetchPair({ ledger, parts, dataset: enrolment.dataset }, pair, ending.signal);
    },
    stop: () => {
      ending.abort();
      stopHints();
    },
  };
}
