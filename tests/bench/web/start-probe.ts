/** Before the app's own script: when the largest thing was painted, and when the bench can be scanned at. */
import { painted } from './painted.ts';

export interface Start {
  readonly lcpMs: number;
  /** Who is on is read from the ledger; before that a scan would wait. */
  readonly readyMs: number;
}

/** What is painted for the first time so long after the bench is ready is no part of its start. */
const SETTLED_MS = 1_000;

let largestAt = 0;
new PerformanceObserver((entries) => {
  for (const { startTime } of entries.getEntries()) largestAt = startTime;
}).observe({ type: 'largest-contentful-paint', buffered: true });

const ready = new Promise<number>((resolve) => {
  const observer = new MutationObserver(() => {
    if (document.querySelector('.who b') === null) return;
    observer.disconnect();
    resolve(painted());
  });
  observer.observe(document, { subtree: true, childList: true });
});

const startProbe = {
  /** Milliseconds since the page was asked for. */
  async measured(): Promise<Start> {
    const readyMs = await ready;
    await new Promise((resolve) => setTimeout(resolve, SETTLED_MS));
    return { lcpMs: largestAt, readyMs };
  },
};

declare global {
  interface Window {
    startProbe: typeof startProbe;
  }
}
window.startProbe = startProbe;
