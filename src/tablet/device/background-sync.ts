/**
 * One-off background sync (WICG, Web Background Synchronization), which only some browsers have: the browser wakes the
 * service worker when there is a network, though no window of the tablet is open any more. Nothing depends on it. A
 * window that is left with nothing waiting asks too; the service worker looks into the outbox first.
 */

/** What the service worker is woken for. */
export const OUTBOX_TAG = 'waxend-outbox';

/** Not yet among the types that come with the compiler. */
interface SyncManager {
  register(tag: string): Promise<void>;
}

/** Asks each time the window is hidden, which is the last that a window hears before it is closed or swiped away. */
export function askWhenLeft(registration: ServiceWorkerRegistration): void {
  const { sync } = registration as ServiceWorkerRegistration & { readonly sync?: SyncManager };
  if (sync === undefined) return;
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState !== 'hidden') return;
    sync.register(OUTBOX_TAG).catch(() => {
      // Not allowed here: what waits goes when the tablet is opened again.
    });
  });
}
