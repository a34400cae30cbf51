import { describe, expect, test } from 'vitest';
import { issueTicket, issueToken } from '../../src/domain/code.ts';
import { layoutHint } from '../../src/tablet/scan/layout-hint.ts';

/*
 * What a French and a German keyboard print on the places of the US keyboard's letters and digit row
 * (common practice, no source), unshifted and shifted.
 */
const FRENCH = new Map([...'qwazm1234567890'].map((us, index) => [us, [...'azqw,&é"\'(-è_çà'][index] ?? '']));
const FRENCH_SHIFTED = new Map(
  [...'QWAZM1234567890'].map((us, index) => [us, [...'AZQW?&é"\'(-è_çà'][index] ?? '']),
);
/** Which US character stands on the place that a French scanner presses for a capital or a digit (it shifts digits). */
const FRENCH_PLACES = new Map(
  [...'AZQWM1234567890'].map((want, index) => [want, [...'QWAZ:!@#$%^&*()'][index] ?? '']),
);
const swapYZ = (text: string) => text.replace(/[YZ]/g, (letter) => (letter === 'Y' ? 'Z' : 'Y'));
const by = (map: ReadonlyMap<string, string>, text: string) =>
  [...text].map((one) => map.get(one) ?? one).join('');

const tickets = [1, 7, 300, 2500].map((counter) => issueTicket(11, counter).pair as string);
const badges = [5, 6, 7].flatMap(
  (seed) =>
    issueToken(
      'badge',
      Uint8Array.from({ length: 40 }, (_, at) => (at * seed * 37) % 234),
    ) ?? [],
);
const codes = [...tickets, ...badges, 'P7K4292W', 'P030000Y'];

test('there are codes of every kind of letter among the examples', () => {
  expect(badges.length).toBeGreaterThan(0);
  expect(codes.join('')).toMatch(/A/);
  expect(codes.join('')).toMatch(/W/);
  expect(codes.join('')).toMatch(/Y/);
  expect(codes.join('')).toMatch(/M/);
});

describe.each(codes)('%s', (code) => {
  test('from a US scanner on a French tablet that tells no places', () => {
    expect(layoutHint(by(FRENCH_SHIFTED, code))).toBe('azerty');
    expect(layoutHint(by(FRENCH, code.toLowerCase()))).toBe('azerty');
  });

  test('from a French scanner, read by place', () => {
    expect(layoutHint(by(FRENCH_PLACES, code))).toBe('azerty');
  });

  test('from a German scanner or on a German tablet', () => {
    expect(layoutHint(swapYZ(code))).toBe(code.includes('Y') ? 'qwertz' : null);
  });

  test('as it should be gives no hint', () => {
    expect(layoutHint(code)).toBeNull();
  });
});

test.each(['', 'P7K4292M', '5901234123457', 'Aldermoor Bench', 'P7K4', 'x'.repeat(300)])(
  'no hint for «%s»',
  (text) => {
    expect(layoutHint(text)).toBeNull();
  },
);
