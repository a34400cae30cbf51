/**
 * Tells the live streams of this process that a site has news, and whoever passes it on to other processes. It carries
 * nothing and promises nothing: a stream says the head when it opens and looks again at every sign of life, so that
 * a lost word or a restart costs seconds and no record.
 */
import type { SiteId } from '../domain/ids.ts';

export interface Listener {
  /** There is, or may be, something new. */
  readonly news: () => void;
  /** The server stops; the stream ends. */
  readonly stop: () => void;
}

export class Announcer {
  readonly #listeners = new Map<SiteId, Set<Listener>>();
  #tellOthers: (site: SiteId) => void = () => {};

  /** What is announced here is told to other processes too, by `tell`. */
  passOn(tell: (site: SiteId) => void): void {
    this.#tellOthers = tell;
  }

  /** Returns how to stop listening; to do so twice does no harm. */
  subscribe(site: SiteId, listener: Listener): () => void {
    const listeners = this.#listeners.get(site) ?? new Set();
    this.#listeners.set(site, listeners.add(listener));
    return () => {
      listeners.delete(listener);
      if (listeners.size === 0 && this.#listeners.get(site) === listeners) this.#listeners.delete(site);
    };
  }

  announce(site: SiteId): void {
    this.hear(site);
    this.#tellOthers(site);
  }

  /** Another process has announced it. */
  hear(site: SiteId): void {
    for (const { news } of this.#listeners.get(site) ?? []) news();
  }

  /** Words of other processes may have been missed: everybody looks. */
  hearAll(): void {
    for (const site of this.#listeners.keys()) this.hear(site);
  }

  stopAll(): void {
    for (const listeners of [...this.#listeners.values()]) {
      for (const { stop } of [...listeners]) stop();
    }
  }

  /** How many streams are open. */
  get listening(): number {
    return [...this.#listeners.values()].reduce((sum, { size }) => sum + size, 0);
  }
}
