import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  type Burst,
  type Keystroke,
  NO_BURST,
  press,
  settle,
  type Verdict,
} from '../../src/tablet/scan/burst.ts';

const SETTLE_MS = 150;

/** Plays keystrokes with the caller's timer, and tells what became of them. */
function play(strokes: readonly Keystroke[]): {
  readonly verdicts: readonly Verdict[];
  readonly typed: string;
} {
  let burst: Burst = NO_BURST;
  let typed = '';
  let lastAt = 0;
  const verdicts: Verdict[] = [];
  const hear = (verdict: Verdict, key: string): void => {
    verdicts.push(verdict);
    if (verdict.kind === 'given-back' || verdict.kind === 'unended') typed += verdict.typed;
    // As in wedge.ts: with all of these the present key does what it does.
    const passes = verdict.kind === 'pass' || verdict.kind === 'given-back' || verdict.kind === 'unended';
    if (passes && key.length === 1) typed += key;
  };
  for (const stroke of strokes) {
    if (burst.run !== null && stroke.at - lastAt > SETTLE_MS) {
      const settled = settle(burst);
      burst = settled.burst;
      hear(settled.verdict, '');
    }
    const step = press(burst, stroke);
    burst = step.burst;
    hear(step.verdict, stroke.key);
    lastAt = stroke.at;
  }
  hear(settle(burst).verdict, '');
  return { verdicts, typed };
}

const of = (verdicts: readonly Verdict[], kind: Verdict['kind']) =>
  verdicts.filter((verdict) => verdict.kind === kind);

const bare = { shift: false, alt: false, control: false, repeat: false };

/** The key of a US keyboard for an upper-case letter, a digit or a named key. */
function key(name: string, at: number, with_: Partial<Keystroke> = {}): Keystroke {
  if (name.length > 1) return { ...bare, code: name, key: name, at, ...with_ };
  if (/[0-9]/.test(name)) return { ...bare, code: `Digit${name}`, key: name, at, ...with_ };
  const shift = /[A-Z]/.test(name);
  return {
    ...bare,
    code: /[a-z]/i.test(name) ? `Key${name.toUpperCase()}` : 'Space',
    key: name,
    shift,
    at,
    ...with_,
  };
}

/** Keys with the gaps between them; the last gap is before the end key. */
function keys(text: string, gaps: readonly number[], end = 'Enter'): Keystroke[] {
  let at = 1000;
  const strokes = [...text].map((name, index) => {
    at += index === 0 ? 0 : (gaps[(index - 1) % gaps.length] ?? 0);
    return key(name, at);
  });
  return end === '' ? strokes : [...strokes, key(end, at + (gaps.at(-1) ?? 0))];
}

const codeText = fc.string({
  unit: fc.constantFrom(...'0123456789ACEFHJKMNPRTVWXY'),
  minLength: 6,
  maxLength: 24,
});

describe('a scanner', () => {
  test('is always heard, whatever it reads, at 50 ms a character or quicker', () => {
    fc.assert(
      fc.property(
        codeText,
        fc.array(fc.integer({ min: 0, max: 50 }), { minLength: 24, maxLength: 24 }),
        fc.constantFrom('Enter', 'Tab', 'NumpadEnter'),
        (text, gaps, end) => {
          const strokes = keys(text, gaps, end === 'NumpadEnter' ? 'Enter' : end);
          const { verdicts } = play(strokes);
          expect(of(verdicts, 'scan')).toEqual([{ kind: 'scan', text, by: 'place' }]);
          // Three keys at most reach a field, and the end key reaches nothing.
          expect(of(verdicts, 'pass').length).toBeLessThanOrEqual(4);
        },
      ),
    );
  });

  test('is heard through one hiccup of up to 100 ms', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 11 }), fc.integer({ min: 51, max: 100 }), (where, hiccup) => {
        const gaps = Array.from({ length: 12 }, (_, index) => (index === where ? hiccup : 10));
        expect(of(play(keys('W0123456789A', gaps)).verdicts, 'scan')).toHaveLength(1);
      }),
    );
  });

  test.each(['AZERTY', 'QWERTZ'])('gives the same text on a tablet with a %s layout', (layout) => {
    const there = layout === 'AZERTY' ? { A: 'Q', W: 'Z', M: '?', '2': 'é', '9': 'ç' } : { Y: 'Z' };
    const strokes = keys('PAWM2Y9C', [10]).map((stroke) => ({
      ...stroke,
      key: new Map(Object.entries(there)).get(stroke.key) ?? stroke.key,
    }));
    expect(of(play(strokes).verdicts, 'scan')).toEqual([{ kind: 'scan', text: 'PAWM2Y9C', by: 'place' }]);
  });

  test('whose keys tell no place is read by the layout, and that is said', () => {
    const strokes = keys('P7K4292W', [10]).map((stroke) => ({ ...stroke, code: '' }));
    expect(of(play(strokes).verdicts, 'scan')).toEqual([{ kind: 'scan', text: 'P7K4292W', by: 'layout' }]);
  });

  test('that presses Shift as a key of its own is read the same', () => {
    const strokes = [...'P7K4292W'].flatMap((name, index) => [
      key('Shift', 1000 + index * 20),
      key(name, 1005 + index * 20),
    ]);
    expect(of(play([...strokes, key('Enter', 1180)]).verdicts, 'scan')).toHaveLength(1);
  });

  test('that ends with two keys presses nothing with the second', () => {
    const { verdicts } = play([...keys('P7K4292W', [10]), key('Enter', 1170)]);
    expect(verdicts.slice(-3, -1).map(({ kind }) => kind)).toEqual(['scan', 'hold']);
  });

  test('is heard twice when it reads twice', () => {
    const second = keys('P030000Y', [10]).map((stroke) => ({ ...stroke, at: stroke.at + 400 }));
    expect(of(play([...keys('P7K4292W', [10]), ...second]).verdicts, 'scan')).toHaveLength(2);
  });

  test('without an end key is no scan, and all it typed is known', () => {
    const { verdicts, typed } = play(keys('P7K4292W', [10], ''));
    expect(of(verdicts, 'scan')).toEqual([]);
    expect(verdicts.at(-1)).toEqual({ kind: 'unended', text: 'P7K4292W', typed: '4292W' });
    expect(typed).toBe('P7K4292W');
  });

  test.each<{ what: string; strange: readonly Keystroke[]; why: string }>([
    { what: 'a control character', strange: [key('o', 1040, { control: true })], why: 'control-keys' },
    { what: 'a function key', strange: [key('F5', 1040)], why: 'control-keys' },
    {
      what: 'an Alt code',
      strange: ['Numpad0', 'Numpad9', 'Numpad2'].map((code, index) =>
        key(code, 1040 + index, { key: code.at(-1) ?? '', alt: true }),
      ),
      why: 'alt-codes',
    },
  ])('with $what in it is dropped', ({ strange, why }) => {
    const before = keys('P7K4', [10], '');
    const after = keys('292W', [10]).map((stroke) => ({ ...stroke, at: stroke.at + 50 }));
    const { verdicts } = play([...before, ...strange, ...after]);
    expect(of(verdicts, 'dropped')).toEqual([{ kind: 'dropped', why }]);
    expect(of(verdicts, 'scan')).toEqual([]);
  });

  test('that begins with control characters is dropped', () => {
    const strokes = [...'ror'].map((name, index) => key(name, 1000 + index * 10, { control: true }));
    expect(
      of(
        play([...strokes, ...keys('cmd', [10]).map((stroke) => ({ ...stroke, at: stroke.at + 30 }))])
          .verdicts,
        'dropped',
      ),
    ).toHaveLength(1);
  });

  test('that reads 300 characters is a scan, cut short', () => {
    const [scan] = of(play(keys('A1'.repeat(150), [5])).verdicts, 'scan');
    expect(scan).toMatchObject({ text: 'A1'.repeat(128) });
  });
});

/**
 * Gaps between keys as people have them: log-normal about the mean, the spread of fast typists, whose fingers
 * overlap (from memory of the published keystroke studies; no table of theirs is used). A word is five keys.
 */
function typing(wordsPerMinute: number, spread: number, seed: number, length: number): number[] {
  const mean = 60_000 / (wordsPerMinute * 5);
  let state = seed;
  const uniform = (): number => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return (state + 1) / 4_294_967_297;
  };
  return Array.from({ length }, () => {
    const normal = Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
    return mean * Math.exp(spread * normal - (spread * spread) / 2);
  });
}

describe('a person', () => {
  test('typing at 60 to 120 words a minute is never taken for a scanner and loses no character', () => {
    fc.assert(
      fc.property(
        fc.string({
          unit: fc.constantFrom(...'abcdefghijklmnopqrstuvwxyz 0123456789'),
          minLength: 1,
          maxLength: 60,
        }),
        fc.integer({ min: 60, max: 120 }),
        fc.double({ min: 0.1, max: 0.4, noNaN: true }),
        fc.integer(),
        (text, speed, spread, seed) => {
          const { verdicts, typed } = play(keys(text, typing(speed, spread, seed, 61)));
          expect(of(verdicts, 'scan')).toEqual([]);
          expect(of(verdicts, 'dropped')).toEqual([]);
          expect(typed).toBe(text);
        },
      ),
      { numRuns: 1000 },
    );
  });

  test('loses no character however keys fall, as long as no scan is made of them', () => {
    fc.assert(
      fc.property(
        fc.string({ unit: fc.constantFrom(...'abc xyz789'), minLength: 1, maxLength: 30 }),
        fc.array(fc.integer({ min: 5, max: 400 }), { minLength: 30, maxLength: 30 }),
        (text, gaps) => {
          const { verdicts, typed } = play(keys(text, gaps, ''));
          expect(of(verdicts, 'scan')).toEqual([]);
          expect(typed).toBe(text);
        },
      ),
      { numRuns: 500 },
    );
  });

  test('holding a key down is no scanner', () => {
    const strokes = Array.from({ length: 30 }, (_, index) =>
      key('7', 1000 + index * 30, { repeat: index > 0 }),
    );
    const { verdicts } = play([...strokes, key('Enter', 1910)]);
    expect(new Set(verdicts.map(({ kind }) => kind))).toEqual(new Set(['pass']));
  });

  test('using shortcuts, arrows and Enter is left alone', () => {
    const strokes = [
      key('Control', 1000),
      key('c', 1060, { control: true }),
      key('ArrowLeft', 1500),
      key('ArrowLeft', 1600),
      key('Enter', 1700),
      key('Tab', 2500),
    ];
    expect(of(play(strokes).verdicts, 'hold')).toEqual([]);
    expect(of(play(strokes).verdicts, 'dropped')).toEqual([]);
  });
});
