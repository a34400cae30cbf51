/**
 * The service worker: the whole app is there without a network. It never answers for the server: what is not one of the
 * app's own files goes to the network, an unknown asset is a plain 404.
 *
 * It takes over only when the page tells it to (`device/update.ts`), and it claims no page that is already open.
 *
 * Woken by the browser when no window is open any more, it sends what waits (`drain-outbox.ts`).
 */
import { cleanupOutdatedCaches, precacheAndRoute } from 'workbox-precaching';
import { OUTBOX_TAG } from './device/background-sync.ts';

declare const self: ServiceWorkerGlobalScope;

/** Addresses that are pages of the one app, the desk's own among them; each is `index.html`. */
const PAGE = /^\/(bench|desk(\/.*)?)?$/;

cleanupOutdatedCaches();
precacheAndRoute(self.__WB_MANIFEST, {
  directoryIndex: '',
  cleanURLs: false,
  urlManipulation: ({ url }) => (PAGE.test(url.pathname) ? [new URL('/index.html', url)] : []),
});

self.addEventListener('message', ({ data }: ExtendableMessageEvent) => {
  if (isSkipWaiting(data)) void self.skipWaiting();
});

/** Not yet among the types that come with the compiler. */
interface SyncEvent extends ExtendableEvent {
  readonly tag: string;
}

self.addEventListener('sync', (event) => {
  const { tag } = event as SyncEvent;
  if (tag === OUTBOX_TAG) (event as SyncEvent).waitUntil(drain());
});

/** Rejects where something still waits: the browser tries again some minutes later, and gives up after a few times. */
async function drain(): Promise<void> {
  // In the same file, but not run through each time a page is asked for.
  const { drainOutbox } = await import('./drain-outbox.ts');
  return drainOutbox();
}

function isSkipWaiting(data: unknown): boolean {
  return typeof data === 'object' && data !== null && 'type' in data && data.type === 'SKIP_WAITING';
}
