/** In the bench's page: a wedge scanner's keys go in, and what they lead to is timed until it is on the screen. */
import { bareStore, writeStrictly } from './bare-store.ts';
import { painted } from './painted.ts';

const PATIENCE_MS = 10_000;

const scanProbe = {
  /** Scans a badge; resolves when the page says who is on. */
  badgeOn(token: string): Promise<number> {
    return scan(token, () => document.querySelector('.who b') !== null);
  },

  /**
   * Scans a ticket.
   * @param tone of the bar beneath the card: `go` once a record has been made, `mind` where notes come first
   * @returns milliseconds from the scanner's last key to the frame after the one that shows this pair's card
   */
  scanToCard(ticket: string, tone: 'go' | 'mind'): Promise<number> {
    return scan(ticket, () => {
      const shown = document.querySelector('.main h2.code')?.textContent;
      return shown === ticket && document.querySelector(`.bar.${tone}`) !== null;
    });
  },

  /** One row written strictly, then one text changed and painted. Nothing is recorded and shown with less. */
  async writeAndPaint(): Promise<number> {
    const store = await bareStore();
    const text = plainText();
    const at = performance.now();
    await writeStrictly(store, 0);
    text.textContent = String(at);
    return (await painted()) - at;
  },

  /** Whether the service worker can serve the page from now on. */
  async offlineReady(): Promise<void> {
    await navigator.serviceWorker.ready;
  },
};

async function scan(text: string, isShown: () => boolean): Promise<number> {
  const shown = untilShown(isShown);
  for (const character of text) press(character, placeOf(character));
  const at = performance.now();
  press('Enter', 'Enter');
  await shown;
  return (await painted()) - at;
}

function press(key: string, code: string): void {
  const target = document.activeElement ?? document.body;
  target.dispatchEvent(new KeyboardEvent('keydown', { key, code, bubbles: true, cancelable: true }));
}

function placeOf(character: string): string {
  return /\d/.test(character) ? `Digit${character}` : `Key${character}`;
}

function untilShown(isShown: () => boolean): Promise<void> {
  return new Promise((resolve, reject) => {
    const observer = new MutationObserver(() => {
      if (!isShown()) return;
      observer.disconnect();
      clearTimeout(late);
      resolve();
    });
    const late = setTimeout(() => {
      observer.disconnect();
      reject(new Error(`never shown; the page says: ${document.body.textContent}`));
    }, PATIENCE_MS);
    observer.observe(document.body, {
      subtree: true,
      childList: true,
      characterData: true,
      attributes: true,
    });
  });
}

let text: HTMLElement | null = null;

/** Beside the app and laid out by itself, so that its painting is no work for the app's page. */
function plainText(): HTMLElement {
  if (text === null) {
    text = document.createElement('output');
    text.style.position = 'fixed';
    document.body.append(text);
  }
  return text;
}

declare global {
  interface Window {
    scanProbe: typeof scanProbe;
  }
}
window.scanProbe = scanProbe;
