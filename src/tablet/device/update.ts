/**
 * A newer app is fetched in the background and waits. It takes over only when `apply` is called, which the bench
 * does when nobody is in the middle of anything; it never reloads by itself.
 */
import { Workbox } from 'workbox-window';
import { askWhenLeft } from './background-sync.ts';

export type UpdateState = 'none' | 'ready';

/** Installed apps of some tablets never look for a newer one by themselves when they come back to the front. */
const LOOK_EVERY_MS = 60 * 60_000;
/** A reload is due even where the waiting app does not answer. */
const TAKE_OVER_MS = 5_000;

export interface AppUpdate {
  readonly state: () => UpdateState;
  watch(onState: (state: UpdateState) => void): () => void;
  look(): Promise<void>;
  /** Lets the newer app take over and reloads, once. Without a newer app it does nothing. */
  apply(): void;
}

/**
 * Registers the service worker and looks for a newer app at the start, whenever the page is shown, and every hour.
 * Where there are no service workers, there are no updates either.
 * @param script the service worker's address, `/sw.js`
 */
export function watchForUpdates(script: string, reload = () => location.reload()): AppUpdate {
  const listeners = new Set<(state: UpdateState) => void>();
  let state: UpdateState = 'none';
  let applying = false;
  let reloaded = false;

  const ready = () => {
    if (state === 'ready') return;
    state = 'ready';
    for (const listener of listeners) listener(state);
  };
  const reloadOnce = () => {
    if (reloaded) return;
    reloaded = true;
    reload();
  };

  if (!('serviceWorker' in navigator)) {
    return {
      state: () => state,
      watch: () => () => undefined,
      look: async () => undefined,
      apply: () => undefined,
    };
  }

  const workbox = new Workbox(script, { updateViaCache: 'none' });
  let registration: ServiceWorkerRegistration | undefined;
  workbox.addEventListener('waiting', ready);
  const wasControlled = navigator.serviceWorker.controller !== null;
  workbox.addEventListener('controlling', () => {
    if (applying) reloadOnce();
    // Another window has let the newer app take over: this one is the old app over new files.
    else if (wasControlled) ready();
  });

  async function look(): Promise<void> {
    try {
      await registration?.update();
    } catch {
      // No network: it is looked for again later.
    }
    // The library hears of the first newer app only; a tablet runs for weeks.
    if (registration?.waiting != null) ready();
  }

  async function start(): Promise<void> {
    try {
      registration = await workbox.register({ immediate: true });
    } catch {
      // Refused by the browser (a private window, a certificate that was clicked through): no offline start, no
      // updates; the page that shows storage and installation says so.
      return;
    }
    if (registration !== undefined) askWhenLeft(registration);
    // Before the first reload no worker serves this page, and a newer one then takes over without ever waiting.
    registration?.addEventListener('updatefound', () => {
      const { active, installing } = registration ?? {};
      if (active == null || installing == null) return;
      installing.addEventListener('statechange', () => {
        if (installing.state === 'installed' || installing.state === 'activated') ready();
      });
    });
    await look();
  }

  void start();
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'visible') void look();
  });
  window.addEventListener('pageshow', () => void look());
  setInterval(() => void look(), LOOK_EVERY_MS);

  return {
    state: () => state,
    watch(onState) {
      listeners.add(onState);
      return () => listeners.delete(onState);
    },
    look,
    apply() {
      if (state === 'none' || applying) return;
      applying = true;
      if (registration?.waiting == null) return reloadOnce();
      workbox.messageSkipWaiting();
      setTimeout(reloadOnce, TAKE_OVER_MS);
    },
  };
}
