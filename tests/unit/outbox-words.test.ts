/** Why a record was not taken, as a person reads it: every reason that the server gives has words of its own. */
import { expect, test } from 'vitest';
import { judge } from '../../src/server/ledger/judge.ts';
import { keptTooLong } from '../../src/words/bench.ts';
import { kindWords, reasonInWords } from '../../src/words/outbox.ts';
import { handAt, LAYING, SITE, WELTING } from '../support/builders.ts';

const reasonsFor = (raw: unknown, place: 'bench' | 'desk' = 'bench') => {
  const judged = judge(raw, { site: SITE, bench: WELTING, place });
  return judged.is === 'unfit' ? judged.reasons.map(reasonInWords) : [];
};
const deep = (levels: number): unknown => (levels === 0 ? 1 : [deep(levels - 1)]);

test.each([
  ['another bench', handAt(LAYING).write('noted'), 'It was made at another bench'],
  ['another site', { ...handAt(WELTING).write('noted'), site: 'netherby' }, 'It was made for another site'],
  [
    'a stage that is none',
    { ...handAt(WELTING).write('clocked-in'), stage: '?' },
    'The server cannot read its stage',
  ],
  ['no pair', { ...handAt(WELTING).write('noted'), pair: 'x' }, 'The server cannot read its ticket number'],
  [
    'a long text',
    { ...handAt(WELTING).write('noted'), more: 'x'.repeat(20_000) },
    'It is too long for the server',
  ],
  [
    'a deep nest',
    { ...handAt(WELTING).write('noted'), more: deep(30) },
    'The server cannot read how it is built',
  ],
  [
    'a field of its own kind',
    { ...handAt(WELTING).write('noted'), weight: 'heavy' },
    'The server cannot read its «weight»',
  ],
])('%s', (_, raw, words) => {
  expect(reasonsFor(raw)).toEqual([words]);
});

test('work at a bench that came from a desk', () => {
  expect(reasonsFor(handAt(WELTING).write('clocked-in'), 'desk')).toEqual([
    'It is work at a bench, and this is a desk',
  ]);
});

test('the same number for another record, and what nobody foresaw', () => {
  expect(reasonInWords('id: another record is held under it')).toBe(
    'The server holds another record under the same number',
  );
  expect(reasonInWords('?')).toBe('The server cannot read its content');
});

test('a kind reads as words, and records that have waited too long ask for somebody', () => {
  expect(kindWords('done-unscanned')).toBe('done unscanned');
  expect(keptTooLong(3, 4 * 3_600_000)).toBe('3 records kept here, oldest 4 h 00. Tell the supervisor');
});
