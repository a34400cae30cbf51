/**
 * News of a site across server processes, by PostgreSQL's LISTEN and NOTIFY on a connection of its own.
 *
 * - It is given after the commit, never within: within, it would make the commits of all sites wait for each other.
 * - A word can be lost while the connection is down. So after each new connection everybody is told to look, and
 *   live streams look at every sign of life anyway.
 * - One statement is under way at a time, and carries every site that has news by then.
 */
import { setTimeout as pause } from 'node:timers/promises';
import { Client } from 'pg';
import type { SiteId } from '../../domain/ids.ts';
import { siteIdSchema } from '../../domain/record/envelope.ts';
import { faultDetails, type Log } from '../log.ts';
import { connectionOf } from './postgres-connection.ts';

const CHANNEL = 'waxend_news';
const FIRST_WAIT_MS = 200;
const LAST_WAIT_MS = 5_000;
/** A connection that died without a word is found out by then. */
const BEAT_MS = 20_000;
const ANSWER_MS = 5_000;

export interface Hearers {
  /** Another process says that the site has news. */
  readonly heard: (site: SiteId) => void;
  /** The connection is new: anything may have been said before. */
  readonly missed: () => void;
  readonly log: Log;
}

export class PostgresNews {
  readonly #url: string;
  readonly #hearers: Hearers;
  readonly #closing = new AbortController();
  readonly #waiting = new Set<SiteId>();
  readonly #running: Promise<void>;
  #client: Client | null = null;
  #telling = false;

  constructor(url: string, hearers: Hearers) {
    this.#url = url;
    this.#hearers = hearers;
    this.#running = this.#run();
  }

  /** Tells the other processes; without a connection, as soon as there is one. */
  tell(site: SiteId): void {
    this.#waiting.add(site);
    if (!this.#telling) void this.#tellAll();
  }

  async close(): Promise<void> {
    this.#closing.abort();
    await this.#running;
  }

  async #run(): Promise<void> {
    const { signal } = this.#closing;
    let waitMs = FIRST_WAIT_MS;
    while (!signal.aborted) {
      try {
        await this.#listen(() => {
          waitMs = FIRST_WAIT_MS;
        });
      } catch (fault) {
        if (!signal.aborted) this.#hearers.log('news-interrupted', faultDetails(fault));
      }
      await pause(waitMs, undefined, { signal }).catch(() => {});
      waitMs = Math.min(2 * waitMs, LAST_WAIT_MS);
    }
  }

  /** Listens until the connection breaks, and then throws; or until it is closed. */
  async #listen(connected: () => void): Promise<void> {
    const { signal } = this.#closing;
    const client = new Client({ ...connectionOf(this.#url, 'waxend server'), query_timeout: ANSWER_MS });
    const broken = new Promise<never>((_, reject) => {
      client.on('error', reject);
      client.on('end', () => reject(new Error('the connection for news ended')));
    });
    broken.catch(() => {});
    let ours: number | null = null;
    client.on('notification', ({ processId, payload }) => {
      const site = siteIdSchema.safeParse(payload);
      if (site.success && processId !== ours) this.#hearers.heard(site.data);
    });
    try {
      await client.connect();
      const { rows } = await client.query<{ pid: number }>('select pg_backend_pid() as pid');
      ours = rows[0]?.pid ?? null;
      await client.query(`listen ${CHANNEL}`);
      this.#client = client;
      connected();
      this.#hearers.missed();
      void this.#tellAll();
      while (!signal.aborted) {
        await Promise.race([pause(BEAT_MS, undefined, { signal }).catch(() => {}), broken]);
        if (!signal.aborted) await client.query('select 1');
      }
    } finally {
      this.#client = null;
      await client.end().catch(() => {});
    }
  }

  async #tellAll(): Promise<void> {
    this.#telling = true;
    try {
      while (this.#client !== null && this.#waiting.size > 0) {
        const sites = [...this.#waiting];
        this.#waiting.clear();
        await this.#client.query(`select pg_notify('${CHANNEL}', site) from unnest($1::text[]) as site`, [
          sites,
        ]);
      }
    } catch (fault) {
      // Those who listened elsewhere look by themselves at their next sign of life.
      this.#hearers.log('news-not-told', faultDetails(fault));
    } finally {
      this.#telling = false;
    }
  }
}
