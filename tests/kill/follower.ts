/** Reads everybody's records by cursor while servers are killed, as every tablet does, and keeps count of what came. */
import { setTimeout as pause } from 'node:timers/promises';
import { CURSOR_START } from '../../src/domain/cursor.ts';
import type { Cursor, RecordId } from '../../src/domain/ids.ts';
import { pullAnswerSchema } from '../../src/wire/pull.ts';
import { fingerprint } from './fingerprint.ts';

const AGAIN_MS = 20;

export class Follower {
  readonly #authorization: string;
  readonly #address: () => string;
  #cursor: Cursor = CURSOR_START;
  #stopped = false;
  #running: Promise<void> | null = null;
  #last = 0;

  /** How often each record came, and the hash of its JSON as it came first. */
  readonly came = new Map<RecordId, { times: number; readonly hash: string }>();
  /** Positions that were left out or came out of turn. */
  outOfTurn = 0;
  /** How often reading was told to begin anew, which no kill is a reason for. */
  fromStart = 0;

  constructor(authorization: string, address: () => string) {
    this.#authorization = authorization;
    this.#address = address;
  }

  start(): void {
    this.#running = this.#run();
  }

  /** Resolves when everything has been read that the server holds. */
  async stop(): Promise<void> {
    this.#stopped = true;
    await this.#running;
    while (await this.#read());
  }

  async #run(): Promise<void> {
    while (!this.#stopped) {
      const more = await this.#read().catch(() => false);
      if (!more) await pause(AGAIN_MS);
    }
  }

  /** True where there is more to read. */
  async #read(): Promise<boolean> {
    const response = await fetch(`${this.#address()}/api/pull?limit=1000&after=${this.#cursor}`, {
      headers: { authorization: this.#authorization },
    });
    if (!response.ok) throw new Error(`pull: ${response.status}`);
    const { records, cursor, more, fromStart } = pullAnswerSchema.parse(await response.json());
    if (fromStart) this.fromStart += 1;
    for (const { pos, record } of records) {
      if (pos !== this.#last + 1) this.outOfTurn += 1;
      this.#last = pos;
      const { id } = record as { id: RecordId };
      const seen = this.came.get(id);
      if (seen === undefined) this.came.set(id, { times: 1, hash: fingerprint(JSON.stringify(record)) });
      else seen.times += 1;
    }
    this.#cursor = cursor;
    return more;
  }
}
