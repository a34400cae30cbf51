import { createHash } from 'node:crypto';
import { describe, expect, test } from 'vitest';
import { CURSOR_START, cursorAt, cursorSchema, placeOf } from '../../src/domain/cursor.ts';
import { lineSchema } from '../../src/domain/record/envelope.ts';
import { CURRENT_VERSION, pairOf, thingOf } from '../../src/domain/record/kinds.ts';
import { KNOWN_KINDS, readRecord } from '../../src/domain/record/reading.ts';
import { openSqliteLedger } from '../../src/server/ledger/sqlite.ts';
import { MONDAY_8, SITE, WELTING } from '../support/builders.ts';
import { newSiteOf } from '../support/server.ts';
import { ADDED_SINCE, RECORD_SAMPLES } from './record-samples.ts';

const sampleOf = (kind: string) => {
  const sample = RECORD_SAMPLES.findLast((candidate) => candidate.kind === kind);
  if (sample === undefined) throw new Error(`no sample of ${kind}`);
  return structuredClone(sample);
};

describe('what lies in ledgers is read for ever', () => {
  test.each(RECORD_SAMPLES.map((sample, index) => [sample.kind, sample.v, index, sample] as const))(
    '%s of version %d, sample %d',
    (_, __, index, sample) => {
      const record = { ...sample, ...ADDED_SINCE[index] };
      expect(readRecord(JSON.parse(JSON.stringify(sample)))).toEqual({ is: 'record', record });
    },
  );

  test('every kind has a sample of every version', () => {
    const due = [...KNOWN_KINDS].flatMap((kind) =>
      Array.from({ length: CURRENT_VERSION }, (_, index) => `${kind} ${index + 1}`),
    );
    const here = new Set(RECORD_SAMPLES.map(({ kind, v }) => `${kind} ${v}`));
    expect([...here].toSorted()).toEqual(due.toSorted());
  });

  test('every field of today stands in some sample as it is written today', () => {
    for (const kind of KNOWN_KINDS) {
      const read = readRecord(sampleOf(kind));
      expect(read.is === 'record' ? read.record : read, kind).toEqual(sampleOf(kind));
    }
  });

  test('the server holds each as it came, without the fields that it is read with', async () => {
    const ledger = await openSqliteLedger(':memory:');
    await ledger.createSite(newSiteOf());
    const writer = { site: SITE, bench: WELTING, place: 'bench' as const };
    const answers = await ledger.append(writer, structuredClone(RECORD_SAMPLES), MONDAY_8);
    expect(answers.filter(({ answer }) => answer !== 'stored')).toEqual([]);
    const held = await ledger.read(SITE, 0, RECORD_SAMPLES.length);
    expect(held.map(({ json }) => JSON.parse(json))).toEqual(RECORD_SAMPLES);
    await ledger.close();
  });

  test('a field that came later is not said in the samples from before it', () => {
    for (const [index, fields] of Object.entries(ADDED_SINCE)) {
      const sample = RECORD_SAMPLES[Number(index)];
      expect(Object.keys(fields).filter((field) => sample !== undefined && field in sample)).toEqual([]);
    }
  });

  /** New samples come at the end, with a row of their own here; a row that stands is never changed. */
  test.each([
    [13, '7738131e2e2cf9613560363f2cfcfb3726be740983339656af63b51e558801fc'],
    [41, '4cbbd1b4944da20ffeab959dc3924dbd6f52c8f8fdb5298e0656fa99235290f5'],
    [42, '46b0cc436a86da7a80fc0270417e736a6dbd0eb43d988d62b1f0483e1f0bb48b'],
    [45, '98ae53f551da62d34868f3ac6a4295a556cffb18ba3fcc988de0de2e07f63323'],
  ])('the first %d samples are what they were', (count, sum) => {
    const first = JSON.stringify(RECORD_SAMPLES.slice(0, count));
    expect(createHash('sha256').update(first).digest('hex')).toBe(sum);
  });
});

describe('a record from outside', () => {
  test('of a kind that we do not know yet is kept as it came', () => {
    const newer = { ...sampleOf('clocked-in'), kind: 'weighed', grams: [812, 808] };
    expect(readRecord(newer)).toEqual({ is: 'newer', envelope: newer });
  });

  test('of a newer version is kept as it came, even where its fields would not do for ours', () => {
    const newer = { ...sampleOf('clocked-in'), v: CURRENT_VERSION + 1, stage: { code: 'WLT' } };
    expect(readRecord(newer)).toEqual({ is: 'newer', envelope: newer });
  });

  test('with fields that we do not know yet is read without them', () => {
    const read = readRecord({ ...sampleOf('taken-up'), colour: 'brown' });
    expect(read).toEqual({ is: 'record', record: sampleOf('taken-up') });
  });

  test.each<[string, string, Record<string, unknown>, string]>([
    [
      'an id of another version',
      'taken-up',
      { id: '9b2f1c6e-0000-4000-8000-000000000000' },
      'id: is no UUIDv7',
    ],
    ['an id in capitals', 'taken-up', { id: '019A4364-5808-7000-8000-000000000008' }, 'id: is no UUIDv7'],
    ['a sequence that begins at 0', 'taken-up', { seq: 0 }, 'seq: '],
    ['a broken sequence', 'taken-up', { seq: 1.5 }, 'seq: '],
    ['an instant before 1970', 'taken-up', { at: -1 }, 'at: '],
    ['an instant in words', 'taken-up', { at: '2026-11-02' }, 'at: '],
    ['a tablet’s clock in halves', 'taken-up', { wall: { ms: 0.5, offsetMs: 0, known: true } }, 'wall.ms: '],
    ['a cursor of somebody else’s', 'taken-up', { seen: 'page=2' }, 'seen: is no cursor'],
    ['version 0', 'taken-up', { v: 0 }, 'v: '],
    ['no kind', 'taken-up', { kind: '' }, 'kind: is no name of a kind'],
    ['a bench with a blank', 'taken-up', { bench: 'bench 1' }, 'bench: '],
    ['a ticket in small letters', 'taken-up', { pair: 'p7k4292w' }, 'pair: is no ticket number'],
    ['a ticket that is too short', 'taken-up', { pair: 'P7' }, 'pair: is no ticket number'],
    ['no pair', 'taken-up', { pair: null }, 'pair: '],
    ['a stage in words', 'clocked-in', { stage: 'welting' }, 'stage: is no stage code'],
    ['an outcome that there is not', 'clocked-out', { outcome: 'broken' }, 'outcome: '],
    ['a reason of two lines', 'set-aside', { reason: 'no\nthread' }, 'reason: '],
    ['no reason', 'set-aside', { reason: '' }, 'reason: '],
    ['a reason without end', 'set-aside', { reason: 'x'.repeat(201) }, 'reason: '],
    ['a day that there is not', 'pair-logged', { promised: '2026-02-30' }, 'promised: '],
    ['a third shoe', 'noted', { shoe: 'middle' }, 'shoe: '],
    ['a bench with no stage', 'bench-set', { stages: [] }, 'stages: '],
    ['a job that there is not', 'pair-logged', { job: 'XX' }, 'job: '],
    ['a route before the first', 'pair-logged', { route: 0 }, 'route: '],
    ['a yes that is no answer', 'pair-logged', { yes: 'perhaps' }, 'yes: '],
    ['a rack that is none', 'racked', { rack: 'shelf 4' }, 'rack: is no rack'],
    ['a photograph without its sum', 'pictured', { photo: 'photo.jpg' }, 'photo: '],
    ['an amendment of nobody’s field', 'pair-amended', { changes: { size: 9 } }, 'changes.size: '],
    ['one shoe that is both', 'parted', { shoe: 'both' }, 'shoe: '],
    ['a hurdle that there is not', 'let-through', { past: 'fence' }, 'past: '],
    ['a tag neither scanned nor seen', 'boxed', { tag: 'no' }, 'tag: '],
  ])('is bad with %s', (_, kind, told, reason) => {
    const bad = { ...sampleOf(kind), ...told };
    const read = readRecord(bad);
    expect(read).toMatchObject({ is: 'bad', id: bad.id, reasons: [expect.stringContaining(reason)] });
  });

  test.each([null, undefined, 7, 'record', [], { id: 7 }, {}])('that is %j is bad and has no id', (raw) => {
    expect(readRecord(raw)).toMatchObject({ is: 'bad', id: null });
  });

  test('that is bad all over gives few reasons and a short id', () => {
    const read = readRecord({ id: 'x'.repeat(1000), wall: {} });
    if (read.is !== 'bad') throw new Error('was read');
    expect(read.id).toBe('x'.repeat(64));
    expect(read.reasons.length).toBe(8);
  });

  test('whose kind is a name of the language is newer, and nothing worse', () => {
    for (const kind of ['__proto__', 'constructor', 'toString']) {
      expect(readRecord({ ...sampleOf('taken-up'), kind }).is).toBe('newer');
    }
  });
});

describe('the pair of a record', () => {
  test.each(RECORD_SAMPLES.map((sample) => [sample.kind, sample] as const))('%s', (kind, sample) => {
    const aboutNone = [
      'bench-set',
      'badged-on',
      'badged-off',
      'reminders-shown',
      'machine-stopped',
      'machine-back',
      'voided',
    ];
    expect(pairOf(sample)).toBe(aboutNone.includes(kind) ? null : 'P7K4292W');
  });
});

describe('the thing of a record', () => {
  const things: Readonly<Record<string, string>> = {
    'last-taken': 'last 67 9½ E',
    'last-freed': 'last 67 9½ E',
    racked: 'rack R07HT295',
    unracked: 'rack R07HT295',
    'machine-stopped': 'machine bench-stitching STI',
    'machine-back': 'machine bench-stitching STI',
  };

  test.each([...KNOWN_KINDS])('%s', (kind) => {
    expect(thingOf(sampleOf(kind))).toBe(things[kind] ?? null);
  });

  test('is none where a newer version says it otherwise', () => {
    expect(thingOf({ kind: 'last-taken', last: { number: 67 } } as { kind: string })).toBeNull();
    expect(thingOf({ kind: 'machine-stopped', where: 'bench-stitching' } as { kind: string })).toBeNull();
  });
});

describe('a line that somebody typed', () => {
  test.each([
    ['an English one', 'rib was stuck again', true],
    ['one in another script', 'шов рантовый, 8½ — 牛皮', true],
    ['one with a character outside the basic plane', 'ok 👍', true],
    ['a tab', 'a\tb', false],
    ['a line break', 'a\nb', false],
    ['a line break of Unicode’s own', 'a\u2028b', false],
    ['a zero', 'a\u0000', false],
    // It would come back from a store in UTF-8 as another text.
    ['half a surrogate pair', 'ok \ud83d', false],
    ['nothing', '', false],
  ])('%s', (_, text, taken) => {
    expect(lineSchema(40).safeParse(text).success).toBe(taken);
  });
});

describe('a cursor', () => {
  test('names an epoch and a place in it', () => {
    const place = { epoch: '0a1b2c3d', pos: 4_200_000_000_000 };
    expect(cursorSchema.parse(cursorAt(place))).toBe('0a1b2c3d.4200000000000');
    expect(placeOf(cursorAt(place))).toEqual(place);
  });

  test('before anything was read names none', () => {
    expect(cursorSchema.parse(CURSOR_START)).toBe(CURSOR_START);
    expect(placeOf(CURSOR_START)).toBeNull();
  });

  test.each(['0a1b2c3d', '.7', '0a1b2c3d.-1', '0A1B2C3D.7', `0a1b2c3d.${'9'.repeat(16)}`, '0a1b2c3d.7 '])(
    '%j is none',
    (text) => {
      expect(cursorSchema.safeParse(text).success).toBe(false);
    },
  );
});
