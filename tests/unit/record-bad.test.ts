/** What is said of a raw record that is none, where it is read, not by its schema. */
import { describe, expect, test } from 'vitest';
import { CURRENT_VERSION } from '../../src/domain/record/kinds.ts';
import { readRecord } from '../../src/domain/record/reading.ts';
import { handAt, WELTING } from '../support/builders.ts';

const sample = () => ({ ...handAt(WELTING).write('taken-up') });

const reasonsFor = (raw: unknown) => {
  const read = readRecord(raw);
  return read.is === 'bad' ? read.reasons : read.is;
};

describe('what is no record at all', () => {
  test.each([null, undefined, 7, 'record', true])('%j: the reason is about the record itself', (raw) => {
    expect(reasonsFor(raw)).toEqual([expect.stringMatching(/^record: ./)]);
  });
});

describe('a version', () => {
  test('that is missing makes the record bad, of a kind that we know and of one that we do not', () => {
    const { v: _v, ...versionless } = sample();
    expect(reasonsFor(versionless)).toEqual([expect.stringMatching(/^v: ./)]);
    expect(reasonsFor({ ...versionless, kind: 'weighed' })).toEqual([expect.stringMatching(/^v: ./)]);
  });

  test('that is missing does not keep back what else is wrong with a kind that we know', () => {
    const { v: _v, ...versionless } = sample();
    expect(reasonsFor({ ...versionless, pair: null })).toHaveLength(2);
  });

  test('that is no number makes the record bad', () => {
    expect(reasonsFor({ ...sample(), v: String(CURRENT_VERSION + 1) })).toEqual([
      expect.stringMatching(/^v: ./),
    ]);
  });
});

describe('a kind', () => {
  test('that is missing, or is no text, makes the record bad, and its id is told', () => {
    const { kind: _kind, ...kindless } = sample();
    for (const raw of [kindless, { ...kindless, kind: 7 }]) {
      expect(readRecord(raw)).toEqual({
        is: 'bad',
        id: kindless.id,
        reasons: ['kind: is no name of a kind'],
      });
    }
  });

  test.each([
    ['w', 'newer'],
    ['weighed-2.b_c', 'newer'],
    ['w'.repeat(40), 'newer'],
    ['w'.repeat(41), 'bad'],
    ['-weighed', 'bad'],
    ['weighed again', 'bad'],
    ['weighed\n', 'bad'],
    ['gewägt', 'bad'],
  ])('%j of a newer tablet is %s', (kind, is) => {
    expect(readRecord({ ...sample(), kind }).is).toBe(is);
  });
});

test('a reason names the place of what is wrong, however deep', () => {
  const wall = { ms: 'noon', offsetMs: 0, known: true };
  expect(reasonsFor({ ...sample(), wall })).toEqual([expect.stringMatching(/^wall\.ms: ./)]);
});

test('an id that is no text is not told', () => {
  expect(readRecord({ ...sample(), id: 7 })).toMatchObject({ is: 'bad', id: null });
});
