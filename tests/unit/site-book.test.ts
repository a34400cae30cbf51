import { createHash } from 'node:crypto';
import { describe, expect, test } from 'vitest';
import { codeHash, holderOf } from '../../src/domain/code-hash.ts';
import { asOperativeId, asStageCode } from '../../src/domain/ids.ts';
import { HOUR_MS } from '../../src/domain/instant.ts';
import {
  isReleased,
  NO_WAYS,
  nameOf,
  roleOf,
  routesNow,
  routesOf,
  shiftAt,
  siteBookSchema,
} from '../../src/domain/site-book.ts';
import { newSite } from '../../src/server/new-site.ts';
import {
  FULL,
  fullBook,
  INES,
  MONDAY_8,
  RUTH,
  SITE,
  siteBook,
  TOKEN_OF_INES,
  TOMASZ,
  WLT,
} from '../support/builders.ts';
import { oneShift } from '../support/shift.ts';

describe('codeHash', () => {
  test('is SHA-256: the example «abc» of FIPS 180-4 (from memory)', () => {
    expect(codeHash('abc')).toBe('ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad');
  });

  test.each(['', 'H789ACEFHJKMNPRTVWX8', 'Größe', 'x'.repeat(200)])('%j is as Node hashes it', (text) => {
    expect(codeHash(text)).toBe(createHash('sha256').update(text, 'utf8').digest('hex'));
  });
});

describe('the holder of a badge', () => {
  test('is found by the badge’s text, which the book does not hold', () => {
    const book = siteBook();
    expect(holderOf(book, TOKEN_OF_INES)).toBe(INES);
    expect(JSON.stringify(book)).not.toContain(TOKEN_OF_INES);
  });

  test('is nobody for a badge withdrawn or never given', () => {
    expect(holderOf(siteBook({ badges: [] }), TOKEN_OF_INES)).toBeNull();
    expect(holderOf(siteBook(), `${TOKEN_OF_INES} `)).toBeNull();
  });
});

describe('nameOf', () => {
  test.each([
    ['an operative in the book', INES, 'Ines Okafor'],
    ['one whose name was erased', asOperativeId('op-gone'), null],
    ['nobody', null, null],
  ])('%s', (_, operative, name) => {
    expect(nameOf(siteBook(), operative)).toBe(name);
  });
});

describe('shiftAt', () => {
  const early = oneShift('Early', MONDAY_8, MONDAY_8 + 8 * HOUR_MS);
  const late = oneShift('Late', early.to, early.to + 8 * HOUR_MS);
  const book = siteBook({ shifts: [early, late] });

  test.each([
    ['before the first', MONDAY_8 - 1, null],
    ['at its first millisecond', MONDAY_8, early],
    ['at its last', early.to - 1, early],
    ['where one ends the next begins', early.to, late],
    ['after the last', late.to, null],
  ])('%s', (_, now, shift) => {
    expect(shiftAt(book, now)).toEqual(shift);
  });
});

describe('a book from before there were routes', () => {
  /** As it lies in ledgers since then. */
  const OLD = {
    site: 'aldermoor',
    name: 'Aldermoor Bench',
    timeZone: 'Europe/London',
    version: 7,
    ticketPattern: null,
    ask: 'Ruth Adeyemi, supervisor',
    closingStage: 'DSP',
    stages: [
      { code: 'WLT', name: 'Welt sewing', plain: 'having the welts sewn' },
      { code: 'DSP', name: 'Despatch', plain: 'on their way' },
    ],
    operatives: [{ id: 'op-ines', name: 'Ines Okafor', role: 'hand' }],
    badges: [],
    benches: [],
    shifts: [{ name: 'Day', from: MONDAY_8, to: MONDAY_8 + HOUR_MS }],
  };

  test('is read as a book without routes, ways, racks, machines, releases, reminders, breaks and a word on figures about persons', () => {
    const book = siteBookSchema.parse(OLD);
    expect(book).toEqual({
      ...OLD,
      stages: OLD.stages.map((stage) => ({ ...stage, machine: false, reminds: false, settles: null })),
      operatives: OLD.operatives.map((one) => ({ ...one, released: null })),
      shifts: OLD.shifts.map((one) => ({ ...one, day: '', breaks: [], overtime: false })),
      routes: [],
      ways: NO_WAYS,
      racks: [],
      reminders: { version: 0, wordings: [] },
      personal: { figures: true, keepDays: null },
    });
    expect(routesNow(book)).toBeNull();
    expect(routesOf(book, 1)).toBeNull();
    expect(isReleased(book, INES, WLT)).toBe(true);
  });
});

describe('a site as it begins', () => {
  const { book } = newSite(
    { site: SITE, name: 'Aldermoor Bench', timeZone: 'Europe/London' },
    (bytes) => new Uint8Array(bytes),
  );

  test('has all that the tests’ full site has', () => {
    expect({ ...FULL, racks: [] }).toEqual({
      stages: book.stages,
      routes: book.routes,
      ways: book.ways,
      racks: book.racks,
    });
    expect(book.stages).toHaveLength(43);
    expect(book.closingStage).toBe('DSP');
  });

  test('logs under the version of today, and a pair keeps the one that it was logged under', () => {
    const [first] = book.routes;
    if (first === undefined) throw new Error('no routes');
    const later = { ...book, routes: [first, { ...first, version: 2 }, { ...first, version: 3 }] };
    expect(routesNow(later)?.version).toBe(3);
    expect(routesOf(later, 2)?.version).toBe(2);
    expect(routesOf(later, null)?.version).toBe(1);
    // No longer kept: the oldest that there is.
    expect(routesOf(later, 9)?.version).toBe(1);
  });
});

describe('who may run a machine', () => {
  const STI = asStageCode('STI');
  const book = fullBook({
    operatives: [
      { id: INES, name: 'Ines Okafor', role: 'hand', released: [WLT] },
      { id: TOMASZ, name: 'Tomasz Lindqvist', role: 'hand', released: [] },
      { id: RUTH, name: 'Ruth Adeyemi', role: 'supervisor', released: null },
    ],
  });

  test.each([
    ['a machine on the list', INES, WLT, true],
    ['a machine that is not on it', INES, STI, false],
    ['any machine, where the list is empty', TOMASZ, WLT, false],
    ['work without a machine', TOMASZ, asStageCode('TRI'), true],
    ['any machine, where there is no list', RUTH, STI, true],
    ['any machine, by somebody who is not in the book', asOperativeId('op-gone'), STI, true],
    ['a stage that the site has not', TOMASZ, asStageCode('XYZ'), true],
  ])('%s', (_, operative, stage, may) => {
    expect(isReleased(book, operative, stage)).toBe(may);
  });

  test('roles are those of the book', () => {
    expect([INES, RUTH, asOperativeId('op-gone')].map((one) => roleOf(book, one))).toEqual([
      'hand',
      'supervisor',
      null,
    ]);
  });
});

describe('the book’s schema', () => {
  test.each([
    ['a badge in clear text', { badges: [{ hash: TOKEN_OF_INES, operative: INES }] }],
    ['a role that there is not', { operatives: [{ id: INES, name: 'Ines', role: 'owner' }] }],
    ['a name of two lines', { name: 'Aldermoor\nBench' }],
    ['an empty name', { name: '' }],
    ['a version below 1', { version: 0 }],
    ['a stage code in small letters', { closingStage: 'dsp' }],
  ])('refuses %s', (_, told) => {
    expect(siteBookSchema.safeParse({ ...siteBook(), ...told }).success).toBe(false);
  });
});
