/** What the killed browser had shown as made, against what its store holds afterwards. */
import { fingerprint } from './fingerprint.ts';
import type { Held, HeldRow } from './held.ts';

export interface BrowserAccount {
  /** Said to be made before a kill, and heard of outside the browser. */
  readonly acknowledged: number;
  /** Of the acknowledged, those that are in the store. */
  readonly found: number;
  /** In the store though nobody heard of them: made, and killed before that was told. */
  readonly untold: number;
  /** Acknowledged and not in the store: must be 0. */
  readonly lost: number;
  /** The same part of an act twice, one number twice, one record twice in the outbox: must be 0. */
  readonly doubled: number;
  /** In the store with other content than was shown: must be 0. */
  readonly altered: number;
  /** In the store without a waiting entry under its number in the outbox, or an entry without its record: must be 0. */
  readonly unsent: number;
  /** Acts of several records of which only some are there: must be 0. */
  readonly torn: number;
  /** Numbers that are left out: must be 0. */
  readonly gaps: number;
}

/** @param acknowledged each record's JSON as it was told, by its id */
export function accountOfBrowser(
  acknowledged: ReadonlyMap<string, string>,
  { records, outbox }: Held,
): BrowserAccount {
  const byId = new Map(records.map((row) => [row.id, row]));
  const told = [...acknowledged].map(([id, json]) => ({ row: byId.get(id), json }));
  const found = told.filter(({ row }) => row !== undefined).length;
  const seqs = new Set(records.map(({ seq }) => seq));
  const parts = new Set(records.map(partOf));
  const waiting = new Map(outbox.map((entry) => [entry.id, entry]));
  const unsent = records.filter(({ id, seq }) => {
    const entry = waiting.get(id);
    return entry?.state !== 'waiting' || entry.seq !== seq;
  });
  return {
    acknowledged: acknowledged.size,
    found,
    untold: records.filter(({ id }) => !acknowledged.has(id)).length,
    lost: acknowledged.size - found,
    doubled: 2 * records.length - seqs.size - parts.size + outbox.length - waiting.size,
    altered: told.filter(
      ({ row, json }) => row !== undefined && inShort(row.raw) !== inShort(JSON.parse(json)),
    ).length,
    unsent: unsent.length + outbox.filter(({ id }) => !byId.has(id)).length,
    torn: tornActs(records),
    gaps: Math.max(0, ...seqs) - seqs.size,
  };
}

/** What must be 0 and is not, by its name. */
export function brokenIn({ lost, doubled, altered, unsent, torn, gaps }: BrowserAccount): readonly string[] {
  return Object.entries({ lost, doubled, altered, unsent, torn, gaps })
    .filter(([, count]) => count > 0)
    .map(([name, count]) => `${count} ${name}`);
}

/** `act 7d1c… 2/3`: the words that the page writes into each record. */
const PART = /^act \S+ \d+\/(\d+)$/;

function partOf({ id, raw }: HeldRow): string {
  return Object.values(raw).find((field): field is string => PART.test(String(field))) ?? `no part, ${id}`;
}

function tornActs(records: readonly HeldRow[]): number {
  const acts = new Map<string, number>();
  for (const row of records) {
    const [act = '', of = ''] = partOf(row).split(/ \d+\//);
    const name = `${act} of ${of}`;
    acts.set(name, (acts.get(name) ?? 0) + 1);
  }
  return [...acts].filter(([name, count]) => count !== Number(name.split(' of ').at(-1))).length;
}

/** A record in short, whatever the order of its fields. */
function inShort(record: unknown): string {
  return fingerprint(
    JSON.stringify(record, (_, field: unknown) =>
      typeof field === 'object' && field !== null && !Array.isArray(field)
        ? Object.fromEntries(Object.entries(field).sort(([a], [b]) => (a < b ? -1 : 1)))
        : field,
    ),
  );
}
