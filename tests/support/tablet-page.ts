/** What runs in a tablet's page: each is sent there as it stands, and knows nothing of this file. */

export interface LineOnCard {
  readonly pair: string;
  readonly like: string;
  readonly elsewhere: readonly string[];
  readonly timeoutMs: number;
}

/** Runs in the page: the bar's line once it is as wanted, or as it stands when the time is up. */
export function lineOnCard({ pair, like, elsewhere, timeoutMs }: LineOnCard): Promise<string> {
  const until = performance.now() + timeoutMs;
  const wanted = new RegExp(like);
  return new Promise((resolve) => {
    const look = () => {
      const card = document.querySelector('h2.code')?.textContent ?? '';
      const says = document.querySelector('.bar .says')?.textContent ?? '';
      if ((card === pair && wanted.test(says)) || elsewhere.includes(says)) return resolve(says);
      if (performance.now() > until) {
        const next = document.querySelector('.bar .next')?.textContent ?? '';
        resolve(`${says}. ${next} (card ${card})`);
      } else setTimeout(look, 15);
    };
    look();
  });
}

/** Runs in the page: a place of the zone that no other lies over, as near its middle as there is one. */
export function pointOnTop(zone: Element): { readonly x: number; readonly y: number } {
  const { left, top, width, height } = zone.getBoundingClientRect();
  const steps = [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9, 0.05, 0.95];
  for (const down of steps) {
    for (const along of steps) {
      const [x, y] = [left + width * along, top + height * down];
      if (document.elementFromPoint(x, y) === zone) return { x, y };
    }
  }
  throw new Error('no finger can reach this zone');
}

/** Runs in the page. */
export function readCursor(): Promise<unknown> {
  return new Promise((resolve, reject) => {
    const opening = indexedDB.open('waxend');
    opening.onerror = () => reject(opening.error);
    opening.onsuccess = () => {
      const reading = opening.result.transaction('settings').objectStore('settings').get('cursor');
      reading.onsuccess = () => resolve(reading.result ?? '');
      reading.onerror = () => reject(reading.error);
      opening.result.close();
    };
  });
}

/** Runs in the page. */
export function countWaiting(): Promise<number> {
  return new Promise((resolve, reject) => {
    const opening = indexedDB.open('waxend');
    opening.onerror = () => reject(opening.error);
    opening.onsuccess = () => {
      const counting = opening.result.transaction('outbox').objectStore('outbox').count();
      counting.onsuccess = () => resolve(counting.result);
      counting.onerror = () => reject(counting.error);
      opening.result.close();
    };
  });
}
