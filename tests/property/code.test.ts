/** What a text is, against an oracle that shares nothing with ours: a regular expression and `cdigit`. */
import { mod37_36 } from 'cdigit';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  ALPHABET,
  classify,
  issueTicket,
  issueToken,
  LANES,
  SCAN_LENGTH_MAX,
  type ScanSource,
} from '../../src/domain/code.ts';
import { codeHash } from '../../src/domain/code-hash.ts';
import { pairIdSchema } from '../../src/domain/record/envelope.ts';
import { matchesPattern, ticketPatternSchema } from '../../src/domain/ticket-pattern.ts';

const isTicket = (text: string) => /^P[0-9ACEFHJKMNPRTVWXY]{7}$/.test(text) && mod37_36.validate(text);
/** The number in a ticket, or in the tag of one of its shoes; null for anything else. */
const numberIn = (text: string) => {
  const number = /^(.{8})[LR]$/.exec(text)?.[1] ?? text;
  return isTicket(number) ? number : null;
};

const sources = fc.constantFrom<ScanSource>('camera', 'wedge', 'typed');
const tickets = fc
  .tuple(fc.nat(LANES - 1), fc.nat(400_000))
  .map(([lane, counter]): string => issueTicket(lane, counter).pair);

/** Sixteen-bit units at random: half surrogate pairs, control characters and all. */
const rawUnits = fc.array(fc.nat(0xffff), { maxLength: 80 }).map((units) => String.fromCharCode(...units));

/** A ticket in which one place was changed, or one character more or less. */
const nearTickets = fc
  .tuple(
    tickets,
    fc.nat(8),
    fc.nat(2),
    fc.oneof(
      fc.constantFrom(...'0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ *-'),
      fc.string({ unit: 'binary', maxLength: 2 }),
    ),
  )
  .map(([ticket, at, cut, put]) => ticket.slice(0, at) + put + ticket.slice(at + cut));

const anyTexts = fc.oneof(
  fc.string({ unit: 'binary', maxLength: 100 }),
  rawUnits,
  nearTickets,
  tickets,
  fc.tuple(tickets, fc.constantFrom('L', 'R', '/L', '/R', 'LR', 'l')).map((parts) => parts.join('')),
  fc
    .tuple(fc.constantFrom(...'PHWR'), fc.string({ unit: fc.constantFrom(...ALPHABET), maxLength: 22 }))
    .map((parts) => parts.join('')),
  fc
    .tuple(fc.constantFrom('P', ' ', '\u0000', '\ud800', '😀'), fc.constantFrom(65, 4096, 1_000_000))
    .map(([one, times]) => one.repeat(times)),
);

describe('any text at all', () => {
  test('is something, and is called a ticket exactly if grammar and check say so', () => {
    fc.assert(
      fc.property(anyTexts, sources, (text, source) => {
        const code = classify(text, source);
        const taken = source === 'camera' ? text : text.toUpperCase().replace(/[\s.·-]/g, '');
        const expected = text.length <= SCAN_LENGTH_MAX ? numberIn(taken) : null;
        expect(code.kind === 'ticket' ? code.pair : null).toBe(expected);
      }),
      { numRuns: 3000 },
    );
  });

  test('is shown in at most 64 characters, none of them invisible or half', () => {
    fc.assert(
      fc.property(anyTexts, sources, (text, source) => {
        const code = classify(text, source);
        if (code.kind !== 'foreign' && code.kind !== 'damaged') return;
        expect(code.text.length).toBeLessThanOrEqual(SCAN_LENGTH_MAX);
        expect(code.text).toMatch(/^\P{C}*$/u);
      }),
      { numRuns: 1000 },
    );
  });
});

test('a ticket typed in small letters, with blanks and hyphens between, is read', () => {
  const gaps = fc.array(fc.constantFrom('', '', ' ', '-', '  '), { minLength: 9, maxLength: 9 });
  fc.assert(
    fc.property(
      tickets,
      gaps,
      fc.array(fc.boolean(), { minLength: 8, maxLength: 8 }),
      (ticket, between, small) => {
        const typed = [...ticket]
          .map((character, index) => (small[index] ? character.toLowerCase() : character))
          .map((character, index) => (between[index] ?? '') + character)
          .join('');
        expect(classify(typed, 'typed')).toEqual({ kind: 'ticket', pair: ticket, checked: true, shoe: null });
        expect(classify(ticket.toLowerCase(), 'camera').kind).toBe('foreign');
      },
    ),
  );
});

/** Written anew: the two lists of what is confused with what, as a hand at a bench would say it. */
const CONFUSED = [
  '17',
  '38',
  '56',
  '08',
  '69',
  '49',
  '4A',
  'CE',
  'EF',
  'PR',
  'HN',
  'MN',
  'MW',
  'HM',
  'KX',
  'VY',
  'XY',
  '0C',
  '1J',
  '1T',
  '7T',
  '27',
];
const WRITTEN = { O: '0', Q: '0', D: '0', I: '1', L: '1', Z: '2', S: '5', G: '6', B: '8', U: 'V' };

test('one look-alike in a ticket is never taken, and the true character is among those to compare', () => {
  const swaps = [
    ...CONFUSED.flatMap(
      ([a = '', b = '']) =>
        [
          [a, b],
          [b, a],
        ] as const,
    ),
    ...Object.entries(WRITTEN).map(([wrong, right]) => [right, wrong] as const),
  ];
  fc.assert(
    fc.property(tickets, (ticket) => {
      for (const [right, wrong] of swaps) {
        for (let index = ticket.indexOf(right, 1); index > 0; index = ticket.indexOf(right, index + 1)) {
          const misread = ticket.slice(0, index) + wrong + ticket.slice(index + 1);
          const code = classify(misread, 'typed');
          if (code.kind !== 'damaged') throw new Error(`${misread} was taken for a ${code.kind}`);
          expect(code.compare, misread).toContainEqual({ position: index + 1, read: wrong, perhaps: right });
        }
      }
    }),
    { numRuns: 200 },
  );
});

test('whatever fits a site’s pattern can be a record’s pair', () => {
  const shape = fc
    .tuple(
      fc.string({ unit: fc.constantFrom(...'RX07#@?'), minLength: 1, maxLength: 1 }),
      fc.string({ unit: fc.constantFrom(...'RX07/_-#@?'), minLength: 2, maxLength: 23 }),
    )
    .map((parts) => parts.join(''))
    .filter((text) => ticketPatternSchema.safeParse(text).success);
  const filled = shape.chain((text) =>
    fc.tuple(
      fc.constant(ticketPatternSchema.parse(text)),
      fc
        .tuple(...[...text].map((place) => fc.constantFrom(...fillsOf(place))))
        .map((parts) => parts.join('')),
    ),
  );
  fc.assert(
    fc.property(filled, ([pattern, text]) => {
      expect(matchesPattern(pattern, text)).toBe(true);
      expect(pairIdSchema.safeParse(text).success, text).toBe(true);
      expect(classify(text, 'camera', pattern).kind).toMatch(/ticket|badge|bench|rack/);
    }),
  );
});

function fillsOf(place: string): readonly string[] {
  if (place === '#') return ['0', '9'];
  if (place === '@') return ['A', 'Z'];
  return place === '?' ? ['0', 'Z'] : [place];
}

describe('issued tickets', () => {
  test('are within the alphabet, hold their check, and are read as themselves', () => {
    fc.assert(
      fc.property(tickets, sources, (ticket, source) => {
        expect(isTicket(ticket)).toBe(true);
        expect(classify(ticket, source)).toEqual({ kind: 'ticket', pair: ticket, checked: true, shoe: null });
      }),
    );
  });

  test('of any two lanes never meet, and of one lane never come twice', () => {
    const run = (lane: number, from: number) => {
      const issued: string[] = [];
      for (let counter = from; issued.length < 40; ) {
        const { pair, next } = issueTicket(lane, counter);
        issued.push(pair);
        counter = next;
      }
      return issued;
    };
    const counter = fc.nat(400_000);
    fc.assert(
      fc.property(
        fc.nat(LANES - 1),
        fc.nat(LANES - 1),
        counter,
        counter,
        (lane, otherLane, from, otherFrom) => {
          const mine = run(lane, from);
          expect(new Set(mine).size).toBe(mine.length);
          if (lane === otherLane) return;
          expect(run(otherLane, otherFrom).filter((ticket) => mine.includes(ticket))).toEqual([]);
        },
      ),
    );
  });
});

describe('badges and set-up codes', () => {
  /** Bytes that look random and are the same in every run: SHA-256 of a running number. */
  const bytesOf = (draw: number) =>
    Uint8Array.from(Buffer.from(codeHash(`${draw} a`) + codeHash(`${draw} b`), 'hex'));
  const badges = Array.from({ length: 20_000 }, (_, draw) => issueToken('badge', bytesOf(draw))).filter(
    (token) => token !== null,
  );

  test('are read as what they are by every reader', () => {
    fc.assert(
      fc.property(
        fc.uint8Array({ minLength: 36, maxLength: 40 }),
        sources,
        fc.constantFrom('badge', 'bench'),
        (random, source, kind) => {
          const token = issueToken(kind, random);
          fc.pre(token !== null);
          expect(classify(token, source)).toEqual({ kind, token });
          expect(mod37_36.validate(token)).toBe(true);
        },
      ),
    );
  });

  test('are given for about 26 draws in 36, and never the same twice', () => {
    expect(badges.length / 20_000).toBeCloseTo(26 / 36, 1);
    expect(new Set(badges).size).toBe(badges.length);
  });

  test('use every character of the alphabet equally often', () => {
    const counts = new Map([...ALPHABET].map((character) => [character, 0]));
    for (const badge of badges) {
      for (const character of badge.slice(1, -1))
        counts.set(character, (counts.get(character) ?? Number.NaN) + 1);
    }
    const expected = (badges.length * 18) / ALPHABET.length;
    const chiSquare = [...counts.values()].reduce(
      (sum, count) => sum + (count - expected) ** 2 / expected,
      0,
    );
    // 25 degrees of freedom: 52.6 is passed once in a thousand by pure chance. The draws are fixed, so there is none.
    expect(chiSquare).toBeLessThan(52.6);
  });
});
