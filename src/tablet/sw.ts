/**
 * The service worker: the whole app is there without a network, and nothing else is its business. It never answers
 * for the server: what is not one of the app's own files goes to the network, an unknown asset is a plain 404.
 *
 * It takes over only when the page tells it to (`device/update.ts`), and it claims no page that is already open.
 */
import { cleanupOutdatedCaches, precacheAndRoute } from 'workbox-precaching';

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

function isSkipWaiting(data: unknown): boolean {
  return typeof data === 'object' && data !== null && 'type' in data && data.type === 'SKIP_WAITING';
}
