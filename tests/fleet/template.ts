/**
 * The site as every run finds it: benches enrolled over the server's own interface, and pairs that the office has
 * logged. It is made once, and each run begins with a copy of its database.
 */
import { mkdtempSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { issueTicket, issueToken } from '../../src/domain/code.ts';
import { codeHash } from '../../src/domain/code-hash.ts';
import type { OperativeId, PairId, StageCode } from '../../src/domain/ids.ts';
import { DAY_MS } from '../../src/domain/instant.ts';
import { Announcer } from '../../src/server/announcer.ts';
import { createApp } from '../../src/server/app.ts';
import { openSqliteLedger } from '../../src/server/ledger/sqlite.ts';
import { DEFAULT_CONFIG } from '../../src/server/parts.ts';
import type { Enrolment, Settings } from '../../src/tablet/ledger/ledger.ts';
import { enrolAnswerSchema } from '../../src/wire/enrol.ts';
import {
  DESK,
  handAt,
  INES,
  INT,
  LAY,
  MONDAY_8,
  RUTH,
  SITE,
  siteBook,
  TOMASZ,
  WLT,
} from '../support/builders.ts';
import { DATASET, newSiteOf } from '../support/server.ts';
import { Chance } from './chance.ts';

export const PAIRS_MAX = 10;
const STAGES_AT: readonly (readonly StageCode[])[] = [[WLT], [INT], [LAY], [WLT, INT, LAY], [LAY], [WLT]];
export const BENCHES_MAX = STAGES_AT.length;

export interface HandWithBadge {
  readonly operative: OperativeId;
  readonly name: string;
  readonly badge: string;
}

export interface Template {
  readonly database: Buffer;
  readonly hands: readonly HandWithBadge[];
  readonly pairs: readonly PairId[];
  /** What each bench knows when it has been set up. */
  readonly benches: readonly (Pick<Settings, 'book' | 'stages'> & { readonly enrolment: Enrolment })[];
}

/** Somewhere to keep databases; in memory where the system has such a place. */
export function newFolder(): { readonly path: string; readonly remove: () => void } {
  const inMemory = '/dev/shm';
  const isFolder = statSync(inMemory, { throwIfNoEntry: false })?.isDirectory() ?? false;
  const path = mkdtempSync(join(isFolder ? inMemory : tmpdir(), 'fleet-'));
  return { path, remove: () => rmSync(path, { recursive: true, force: true }) };
}

/** A whole copy of a database in use, everything that was committed to it. */
export function copyOf(file: string): Buffer {
  const database = new Database(file, { readonly: true });
  try {
    return database.serialize();
  } finally {
    database.close();
  }
}

export function putDown(database: Buffer, file: string): void {
  writeFileSync(file, database);
}

export async function makeTemplate(): Promise<Template> {
  const chance = new Chance('the site as it begins');
  const hands = [
    { operative: INES, name: 'Ines' },
    { operative: TOMASZ, name: 'Tomasz' },
    { operative: RUTH, name: 'Ruth' },
  ].map((hand) => ({ ...hand, badge: tokenFrom(chance) }));
  const folder = newFolder();
  const file = join(folder.path, 'template.sqlite');
  const ledger = await openSqliteLedger(file);
  try {
    const badges = hands.map(({ operative, badge }) => ({ operative, hash: codeHash(badge) }));
    const { book } = newSiteOf();
    const site = newSiteOf({ ...siteBook(), benches: [], badges });
    await ledger.createSite({ ...site, book: { ...site.book, version: book.version } });
    const app = createApp({
      ledger,
      clock: () => MONDAY_8,
      random: (bytes) => chance.bytes(bytes),
      announcer: new Announcer(),
      log: (event, details) => {
        throw new Error(`${event} ${JSON.stringify(details)}`);
      },
      config: DEFAULT_CONFIG,
    });
    for (const [index, stages] of STAGES_AT.entries()) {
      const code = { name: `Bench ${index + 1}`, place: 'bench' as const, stages, uses: 1 };
      await ledger.addSetUpCode(SITE, { ...code, hash: codeHash(`code ${index}`), until: MONDAY_8 + DAY_MS });
    }
    const answers = [];
    for (const index of STAGES_AT.keys()) {
      const response = await app.request('/api/enrol', {
        method: 'POST',
        headers: { 'content-type': 'application/json' },
        body: JSON.stringify({ token: `code ${index}`, persisted: true }),
      });
      answers.push(enrolAnswerSchema.parse(await response.json()));
    }
    const pairs = ticketsOf(0, PAIRS_MAX);
    const office = handAt(DESK, RUTH);
    await ledger.append(
      { site: SITE, bench: DESK, place: 'desk' },
      pairs.map((pair) => office.write('pair-logged', { pair })),
      MONDAY_8,
    );
    const benches = answers.map(({ site, dataset, bench, place, name, stages, lane, key, book }) => ({
      enrolment: { site, dataset, bench, place, name, key, lane },
      stages,
      book,
    }));
    if (answers.some(({ dataset }) => dataset !== DATASET)) throw new Error('the site is another one');
    await ledger.close();
    // Read back from the file, with what the log beside it holds.
    return { database: copyOf(file), hands, pairs, benches };
  } finally {
    folder.remove();
  }
}

function ticketsOf(lane: number, count: number): readonly PairId[] {
  const pairs: PairId[] = [];
  for (let counter = 0; pairs.length < count; ) {
    const { pair, next } = issueTicket(lane, counter);
    pairs.push(pair);
    counter = next;
  }
  return pairs;
}

function tokenFrom(chance: Chance): string {
  for (;;) {
    const token = issueToken('badge', chance.bytes(64));
    if (token !== null) return token;
  }
}
