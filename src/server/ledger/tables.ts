/** The tables, for kysely. Every table is keyed by site first, so that one database can hold several sites. */

export interface SiteRow {
  site: string;
  dataset: string;
  epoch: string;
  next_lane: number;
  /** Hexadecimal; never sent out. */
  pseudonym_key: string | null;
}

/** Apart from the rest of the site: it is written with every push, and a row is rewritten whole. */
export interface SiteHeadRow {
  site: string;
  head: number;
}

export interface SiteBookRow {
  site: string;
  version: number;
  book: string;
  shift_rules: string;
}

export interface RecordRow {
  site: string;
  pos: number;
  id: string;
  bench: string;
  seq: number;
  at: number;
  kind: string;
  v: number;
  pair: string | null;
  stage: string | null;
  by: string | null;
  received_at: number;
  hash: string;
  json: string;
}

export interface BenchRow {
  site: string;
  bench: string;
  place: string;
  name: string;
  stages: string;
  lane: number;
  /** 1, 0, or null where the browser could not say. */
  persisted: number | null;
  key_hash: string;
  enrolled_at: number;
  revoked_at: number | null;
}

export interface SetUpCodeRow {
  site: string;
  hash: string;
  place: string;
  name: string;
  stages: string;
  until: number;
  uses_left: number;
}

/** The body stands apart from what is asked about it: it may be half a megabyte. */
export interface PhotoRow {
  site: string;
  photo: string;
  type: string;
  bytes: number;
  bench: string;
  received_at: number;
  body: Buffer;
}

/** How far the facts below have been computed, under which epoch and by which rules. */
export interface FactsHeadRow {
  site: string;
  epoch: string;
  pos: number;
  stamp: string;
}

export interface PairFactsRow {
  site: string;
  pair: string;
  first_at: number;
  last_at: number;
  facts: string;
}

export interface Tables {
  sites: SiteRow;
  site_head: SiteHeadRow;
  site_books: SiteBookRow;
  records: RecordRow;
  benches: BenchRow;
  set_up_codes: SetUpCodeRow;
  photos: PhotoRow;
  facts_head: FactsHeadRow;
  pair_facts: PairFactsRow;
}
