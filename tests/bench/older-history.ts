/**
 * A ledger with years behind it: a month of the invented workshop, and beneath it copies of that month, each four weeks
 * older than the last, with ids and tickets of its own. The newest month is the same however much lies under it.
 */
import Database from 'better-sqlite3';
import { DAY_MS } from '../../src/domain/instant.ts';
import type { RecordRow } from '../../src/server/ledger/tables.ts';

/** Whole weeks, so that weekdays and shifts fall where they fell. */
const AGE_MS = 28 * DAY_MS;
const UUID = /\b([0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-)([0-9a-f]{4})([0-9a-f]{8})\b/g;
const PAIR = /"pair":"([^"]+)"/g;
const TIMES = /"(at|ms)":(\d+)/g;

type Row = Pick<RecordRow, 'id' | 'bench' | 'seq' | 'at' | 'kind' | 'v' | 'pair' | 'stage' | 'by' | 'json'>;

/**
 * Fills the ledger's file up to so many records. The month is what lies in it at the first call; no server has it open.
 * @returns how many records it holds then: whole months, so at least as many as asked for, less a month
 */
export class OlderHistory {
  readonly #db: Database.Database;
  readonly #month: readonly Row[];
  readonly #site: string;
  #copies = 0;

  constructor(file: string, site: string) {
    this.#db = new Database(file);
    this.#site = site;
    this.#month = this.#db
      .prepare('select id, bench, seq, at, kind, v, pair, stage, "by", json from records where site = ?')
      .all(site) as Row[];
  }

  get records(): number {
    return this.#month.length * (this.#copies + 1);
  }

  fill(records: number): number {
    const insert = this.#db.prepare(
      `insert into records (site, pos, id, bench, seq, at, kind, v, pair, stage, "by", received_at, hash, json)
       values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
    );
    while (this.records + this.#month.length <= records) {
      const copy = this.#copies + 1;
      let pos = this.records;
      this.#db.transaction(() => {
        for (const row of this.#month) {
          pos += 1;
          const older = aged(row, copy);
          const { id, bench, seq, at, kind, v, pair, stage, by, json } = older;
          // The hash is asked for when a record is pushed again, which nobody does here.
          insert.run(this.#site, pos, id, bench, seq, at, kind, v, pair, stage, by, at, id, json);
        }
        this.#db.prepare('update site_head set head = ? where site = ?').run(pos, this.#site);
      })();
      this.#copies = copy;
    }
    return this.records;
  }

  close(): void {
    this.#db.close();
  }
}

function aged(row: Row, copy: number): Row {
  const older = copy * AGE_MS;
  // By exclusive or, so that no id of a copy is one of another copy or of the month itself.
  const ids = (text: string) =>
    text.replace(UUID, (_, before: string, digits: string, after: string) => {
      const other = Number.parseInt(digits, 16) ^ copy;
      return before + other.toString(16).padStart(4, '0') + after;
    });
  const json = ids(row.json)
    .replace(PAIR, (_, pair: string) => `"pair":"${pair}-${copy}"`)
    .replace(TIMES, (_, name: string, ms: string) => `"${name}":${Number(ms) - older}`);
  return {
    ...row,
    id: ids(row.id),
    at: Number(row.at) - older,
    pair: row.pair === null ? null : `${row.pair}-${copy}`,
    json,
  };
}
