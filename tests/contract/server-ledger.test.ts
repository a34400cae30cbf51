/** The server's ledger in SQLite: the contract's cases in memory and in a file, and what only a file can show. */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { asBenchId } from '../../src/domain/ids.ts';
import { assertDurable, openDurably, openSqliteLedger } from '../../src/server/ledger/sqlite.ts';
import { MONDAY_8, SITE } from '../support/builders.ts';
import { newSiteOf } from '../support/server.ts';
import { LASTING_LEDGER_CASES, SERVER_LEDGER_CASES } from './server-ledger.ts';

let folder = '';
let file = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'waxend-ledger-'));
  file = join(folder, 'ledger.sqlite');
});
afterEach(() => rmSync(folder, { recursive: true }));

for (const where of ['memory', 'a file'] as const) {
  describe(`SQLite in ${where}`, () => {
    for (const { name, run } of SERVER_LEDGER_CASES) {
      test(name, async () => {
        const ledger = await openSqliteLedger(where === 'memory' ? ':memory:' : file);
        await run(ledger);
        await ledger.close();
      });
    }
  });
}

describe('SQLite in a file that lasts', () => {
  for (const { name, run } of LASTING_LEDGER_CASES) test(name, () => run(() => openSqliteLedger(file)));
});

describe('what is confirmed is on the disk', () => {
  test('synchronous is FULL and the journal is WAL after a write, on each of two connections', () => {
    for (const database of [openDurably(file), openDurably(file)]) {
      database.exec('create table if not exists t (a); insert into t values (1)');
      expect(database.pragma('synchronous', { simple: true })).toBe(2);
      expect(database.pragma('journal_mode', { simple: true })).toBe('wal');
      expect(database.pragma('foreign_keys', { simple: true })).toBe(1);
      database.close();
    }
  });

  test('a connection with WAL alone is found out', () => {
    const database = new Database(file);
    database.pragma('journal_mode = WAL');
    expect(() => assertDurable(database)).toThrow('commits would not reach the disk');
    database.close();
  });

  test('the statements of one append end in one commit, or none of them counts', async () => {
    const ledger = await openSqliteLedger(file);
    await ledger.createSite(newSiteOf());
    const breaker = new Database(file);
    breaker.exec(
      `create trigger breaks before insert on records when new.seq = 3 begin select raise(abort, 'broken'); end`,
    );
    breaker.close();
    const { handAt } = await import('../support/builders.ts');
    const hand = handAt(asBenchId('b-1'));
    const records = Array.from({ length: 5 }, () => hand.write('badged-on'));
    const writer = { site: SITE, bench: asBenchId('b-1'), place: 'bench' as const };
    await expect(ledger.append(writer, records, MONDAY_8)).rejects.toThrow('broken');
    expect(await ledger.standing(SITE, writer.bench)).toMatchObject({ head: 0, heldSeq: 0 });
    await ledger.close();
  });
});

test('a file that was written before there were photographs keeps its records and takes photographs', async () => {
  const { handAt } = await import('../support/builders.ts');
  const bench = asBenchId('b-1');
  const before = await openSqliteLedger(file);
  await before.createSite(newSiteOf());
  const writer = { site: SITE, bench, place: 'bench' as const };
  await before.append(writer, [handAt(bench).write('badged-on')], MONDAY_8);
  await before.close();
  const back = new Database(file);
  back.exec('drop table photos; drop table pair_facts; drop table facts_head;');
  back.exec('alter table sites drop column pseudonym_key');
  back.exec(`delete from kysely_migration where name > '0001-ledger'`);
  back.close();

  const ledger = await openSqliteLedger(file);
  const photo = { photo: 'f'.repeat(64), type: 'image/png' as const, body: Uint8Array.of(0, 255, 128) };
  expect(await ledger.keepPhoto(writer, photo, MONDAY_8)).toBe('stored');
  expect((await ledger.photo(SITE, photo.photo))?.type).toBe('image/png');
  expect(await ledger.standing(SITE, bench)).toMatchObject({ head: 1, heldSeq: 1 });
  await ledger.close();
});

describe('processes', () => {
  const WRITER = new URL('../support/ledger-writer.ts', import.meta.url).pathname;
  const write = (bench: string, count: number) =>
    spawn(process.execPath, ['--import', 'tsx', WRITER, file, bench, String(count)], {
      stdio: ['ignore', 'pipe', 'inherit'],
    });

  test('three processes write into one file: positions have no gap and nothing is missing', async () => {
    const ledger = await openSqliteLedger(file);
    await ledger.createSite(newSiteOf());
    const ends = await Promise.all(
      ['b-1', 'b-2', 'b-3'].map(async (bench) => (await once(write(bench, 60), 'exit'))[0]),
    );
    expect(ends).toEqual([0, 0, 0]);
    const held = await ledger.read(SITE, 0, 1_000);
    expect(held.map(({ pos }) => pos)).toEqual(Array.from({ length: 180 }, (_, index) => index + 1));
    expect(await ledger.sequenceFaults(SITE)).toEqual([]);
    await ledger.close();
  });

  test('a process killed in the middle of writing has lost nothing that it was told is stored', async () => {
    const ledger = await openSqliteLedger(file);
    await ledger.createSite(newSiteOf());
    const child = write('b-1', 1_000_000);
    let confirmed = 0;
    for await (const chunk of child.stdout) {
      confirmed = Number(String(chunk).trim().split('\n').at(-1));
      if (confirmed >= 200) break;
    }
    child.kill('SIGKILL');
    await once(child, 'exit');
    expect(confirmed).toBeGreaterThanOrEqual(200);
    expect((await ledger.standing(SITE, asBenchId('b-1')))?.heldSeq).toBeGreaterThanOrEqual(confirmed);
    expect(await ledger.sequenceFaults(SITE)).toEqual([]);
    await ledger.close();
  });
});
