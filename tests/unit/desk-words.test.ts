import { describe, expect, test } from 'vitest';
import { classify } from '../../src/domain/code.ts';
import {
  deskTroubles,
  firstSentence,
  live,
  notASetUpCode,
  pairShown,
  stopped,
} from '../../src/words/desk.ts';

const ZONE = 'Europe/London';
const NOW = Date.UTC(2026, 10, 25, 10, 41);
const YESTERDAY = Date.UTC(2026, 10, 24, 13, 52);
const CALM = { pairsOut: 12, shift: true, pairsOpen: 5, left: null, toPutRight: 0 };

const said = (change: Partial<Parameters<typeof firstSentence>[0]>) =>
  firstSentence({ ...CALM, ...change }, NOW, ZONE)
    .map(({ text, stress }) => (stress ? `*${text}*` : text))
    .join(' ')
    .replaceAll('\u00a0', ' ');

describe('the first sentence', () => {
  test.each([
    [{}, '12 pairs went out this shift, 5 are open now. Nothing odd.'],
    [{ pairsOut: 1, pairsOpen: 1 }, '1 pair went out this shift, 1 is open now. Nothing odd.'],
    [{ pairsOut: 0, pairsOpen: 0 }, 'No pair has gone out yet this shift, none is open now. Nothing odd.'],
    [{ pairsOut: null, shift: false }, 'No shift is on. 5 pairs open now. Nothing odd.'],
    [{ pairsOut: null, shift: false, pairsOpen: 0 }, 'No shift is on. No pair is open. Nothing odd.'],
    [{ pairsOut: null, pairsOpen: 1 }, '1 pair open now. Nothing odd.'],
    [{ toPutRight: 3 }, '12 pairs went out this shift, 5 are open now. *3 things to put right.*'],
    [
      { left: { pairs: 1, oldest: YESTERDAY } },
      '12 pairs went out this shift, 5 are open now. *1 pair still clocked in from before the shift,* since Tue 24 Nov, 13:52.',
    ],
    [
      { left: { pairs: 2, oldest: YESTERDAY }, toPutRight: 1 },
      '12 pairs went out this shift, 5 are open now. *2 pairs still clocked in from before the shift,* the first since Tue 24 Nov, 13:52. 1 thing to put right.',
    ],
  ])('of %j', (change, sentence) => {
    expect(said(change)).toBe(sentence);
  });

  test('tells times in the zone of the site', () => {
    const facts = { ...CALM, left: { pairs: 1, oldest: Date.UTC(2026, 6, 1, 21, 30) } };
    const text = firstSentence(facts, Date.UTC(2026, 6, 2, 9), 'Asia/Kolkata').map((piece) => piece.text);
    // India has kept UTC+05:30 all year since 1945 (IANA time zone database, Asia/Kolkata): 21:30Z is 03:00.
    expect(text.join(' ').replaceAll('\u00a0', ' ')).toContain('since 03:00.');
  });
});

describe('a pair', () => {
  test('of ours stands in groups of four, a site’s own number as the site writes it', () => {
    expect(pairShown('P7K4292W')).toBe('P7K4 292W');
    expect(pairShown('P7K42920')).toBe('P7K42920');
    expect(pairShown('2026-00123')).toBe('2026-00123');
  });
});

describe('what is typed instead of a set-up code', () => {
  test.each([
    ['P7K4292W', 'That is a pair’s ticket'],
    ['', 'Nothing was typed'],
    ['hello', 'That is no code of ours'],
    ['W0CV7N3H3HY', 'This set-up code is not whole'],
    ['W0CV7N8H3HYJ', 'This set-up code does not check'],
  ])('«%s» is told apart', (typed, says) => {
    const code = classify(typed, 'typed');
    if (code.kind === 'bench') throw new Error(`${typed} is a set-up code after all`);
    expect(notASetUpCode(code).says).toBe(says);
  });
});

test('no line shouts, begs or speaks of errors, and each says what to do', () => {
  for (const { says, next } of Object.values(deskTroubles)) {
    expect(`${says} ${next}`).not.toMatch(/!|please|error/i);
    expect(says).not.toBe('');
    expect(next).not.toBe('');
  }
});

test('a line that asks keeps its question mark in running text', () => {
  expect(stopped('Ask for a new one')).toBe('Ask for a new one.');
  expect(stopped('Is place 7 8 or 3?')).toBe('Is place 7 8 or 3?');
});

test('the age of old figures grows', () => {
  expect([10_000, 6 * 60_000, 3_900_000].map(live.old)).toEqual([
    'less than a minute old',
    '6 min old',
    '1 h 05 old',
  ]);
});
