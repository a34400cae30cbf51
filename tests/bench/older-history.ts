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

/** The month is what lies in the file when this is made. Of its pairs only those that have left are copied: nobody's shoes wait for years. */
export class OlderHistory {
  readonly #file: string;
  readonly #site: string;
  readonly #month: readonly Row[];
  readonly #left: readonly Row[];
  #copies = 0;

  constructor(file: string, site: string) {
    this.#file = file;
    this.#site = site;
    const db = new Database(file, { readonly: true });
    this.#month = db
      .prepare('select id, bench, seq, at, kind, v, pair, stage, "by", json from records where site = ?')
      .all(site) as Row[];
    db.close();
    const gone = new Set(
      this.#month.flatMap(({ pair, json }) => (json.includes('"closes":true') ? pair : [])),
    );
    this.#left = this.#month.filter(({ pair }) => pair === null || gone.has(pair));
  }

  get records(): number {
    return this.#month.length + this.#left.length * this.#copies;
  }

  /**
   * Adds copies up to so many records; no server has the file open.
   * @returns how many records it holds then: whole months, so at least as many as asked for, less a month
   */
  fill(records: number): number {
    const db = new Database(this.#file);
    const insert = db.prepare(
      `insert into records (site, pos, id, bench, seq, at, kind, v, pair, stage, "by", received_at, hash, json)
       values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
    );
    while (this.records + this.#left.length <= records) {
      const copy = this.#copies + 1;
      let pos = this.records;
      db.transaction(() => {
        for (const row of this.#left) {
          pos += 1;
          const { id, bench, seq, at, kind, v, pair, stage, by, json } = aged(row, copy);
          // The hash is asked for when a record is pushed again, which nobody does here.
          insert.run(this.#site, pos, id, bench, seq, at, kind, v, pair, stage, by, at, id, json);
        }
        db.prepare('update site_head set head = ? where site = ?').run(pos, this.#site);
      })();
      this.#copies = copy;
    }
    db.close();
    return this.records;
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
