import { describe, expect, test } from 'vitest';
import type { DeskNow } from '../../src/desk/api.ts';
import { fullBar, openRows, overview, stageRows } from '../../src/desk/rows.ts';
import { asStageCode } from '../../src/domain/ids.ts';
import { deskNowSchema } from '../../src/wire/desk.ts';

const SHIFT_FROM = Date.UTC(2026, 10, 25, 6);
const SHIFT = { name: 'Early shift', from: SHIFT_FROM, to: SHIFT_FROM + 8 * 3_600_000 };
const BOX = asStageCode('BOX');

interface Given {
  readonly shift?: DeskNow['shift'];
  /** Stage, pairs in, pairs out, open now. */
  readonly stages?: readonly (readonly [string, number, number, number])[];
  /** Number of the spell, pair, stage, since. */
  readonly open?: readonly (readonly [number, string, string, number])[];
  readonly flags?: readonly { flag: string; pairs: number; examples: string[] }[];
}

/** Through the wire's own schema, so that no test rests on an answer that no server could give. */
function answer({ shift = SHIFT, stages = [], open = [], flags = [] }: Given): DeskNow {
  return deskNowSchema.parse({
    state: {
      dataset: 'aldermoor-1',
      epoch: '0123abcd',
      head: '0123abcd.9',
      book: 1,
      heldSeq: 0,
      clock: { receivedAt: SHIFT_FROM, answeredAt: SHIFT_FROM },
    },
    shift,
    stages: stages.map(([stage, pairsIn, pairsOut, openNow]) => ({
      stage,
      name: `${stage} by name`,
      pairsIn,
      pairsOut,
      openNow,
    })),
    open: open.map(([number, pair, stage, since]) => ({
      spell: `0193a1b2-c3d4-7000-8000-${String(number).padStart(12, '0')}`,
      pair,
      stage,
      bench: 'bench-1',
      benchName: 'Bench one',
      by: null,
      byName: null,
      since,
    })),
    pairsOpen: new Set(open.map(([, pair]) => pair)).size,
    flags,
  });
}

describe('the rows of the stages', () => {
  test('stay in the order of the route, and neighbours with nothing share one quiet row', () => {
    const rows = stageRows(
      answer({
        stages: [
          ['REC', 0, 0, 0],
          ['TRI', 0, 0, 0],
          ['WLT', 3, 2, 1],
          ['INT', 0, 0, 0],
          ['BOX', 0, 1, 0],
        ],
      }),
    );
    expect(rows.map((row) => (row.is === 'quiet' ? row.names : row.stage))).toEqual([
      ['REC by name', 'TRI by name'],
      'WLT',
      ['INT by name'],
      'BOX',
    ]);
  });

  test.each([
    ['in', [1, 0, 0]],
    ['out', [0, 1, 0]],
    ['open', [0, 0, 1]],
  ] as const)('are not quiet with one pair %s', (_, [pairsIn, pairsOut, openNow]) => {
    const rows = stageRows(answer({ stages: [['WLT', pairsIn, pairsOut, openNow]] }));
    expect(rows).toMatchObject([{ is: 'stage', pairsIn, pairsOut, openNow }]);
  });

  test('count what was left open from before the shift, to the millisecond', () => {
    const rows = stageRows(
      answer({
        stages: [
          ['WLT', 1, 0, 2],
          ['BOX', 1, 0, 1],
        ],
        open: [
          [1, 'P7K4292W', 'WLT', SHIFT_FROM - 1],
          [2, 'A-100', 'WLT', SHIFT_FROM],
          [3, 'A-101', 'BOX', SHIFT_FROM + 1],
        ],
      }),
    );
    expect(rows).toMatchObject([{ left: 1 }, { left: 0 }]);
  });

  test('share one scale for their bars, which never divides by nought', () => {
    expect(fullBar(answer({ stages: [['WLT', 3, 9, 20]] }))).toBe(9);
    expect(fullBar(answer({ stages: [['WLT', 0, 0, 2]] }))).toBe(1);
    expect(fullBar(answer({}))).toBe(1);
  });
});

describe('the rows of what is open', () => {
  test('begin with the longest open, and name the stage', () => {
    const rows = openRows(
      answer({
        stages: [['WLT', 1, 0, 2]],
        open: [
          [3, 'A-103', 'WLT', SHIFT_FROM + 2],
          [2, 'A-102', 'WLT', SHIFT_FROM + 1],
          [1, 'A-101', 'GONE', SHIFT_FROM + 1],
        ],
      }),
    );
    expect(rows.map(({ pair, stage }) => [pair, stage])).toEqual([
      ['A-101', 'GONE'],
      ['A-102', 'WLT by name'],
      ['A-103', 'WLT by name'],
    ]);
  });

  test('name the hand, else its number, else nobody', () => {
    const now = answer({ stages: [], open: [[1, 'A-101', 'WLT', SHIFT_FROM]] });
    const [spell] = now.open;
    if (spell === undefined) throw new Error('the builder made no spell');
    const hand = (change: object) =>
      openRows({ ...now, open: [Object.assign({}, spell, change)] }).map((row) => row.hand);
    expect(hand({ by: 'o7', byName: 'Tam Brereton' })).toEqual(['Tam Brereton']);
    expect(hand({ by: 'o7' })).toEqual(['o7']);
    expect(hand({})).toEqual([null]);
  });
});

describe('the overview', () => {
  test('counts as gone out what finished the closing stage', () => {
    const stages = [
      ['CHK', 9, 8, 1],
      ['BOX', 6, 5, 1],
    ] as const;
    expect(overview(answer({ stages }), BOX).pairsOut).toBe(5);
    expect(overview(answer({ stages, shift: null }), BOX)).toMatchObject({ pairsOut: null, shift: false });
    expect(overview(answer({ stages: [['CHK', 9, 8, 1]] }), BOX)).toMatchObject({
      pairsOut: null,
      shift: true,
    });
  });

  test('counts a pair once that was left open at two benches, and tells the oldest', () => {
    const { left, pairsOpen } = overview(
      answer({
        open: [
          [1, 'A-101', 'WLT', SHIFT_FROM - 10],
          [2, 'A-101', 'STI', SHIFT_FROM - 20],
          [3, 'A-102', 'STI', SHIFT_FROM + 5],
        ],
      }),
      BOX,
    );
    expect(left).toEqual({ pairs: 1, oldest: SHIFT_FROM - 20 });
    expect(pairsOpen).toBe(2);
  });

  test('calls nothing left over between shifts, where there is no beginning to compare with', () => {
    const open = [[1, 'A-101', 'WLT', SHIFT_FROM - 10]] as const;
    expect(overview(answer({ open, shift: null }), BOX).left).toBeNull();
  });

  test('adds up what the flags name', () => {
    const flags = [
      { flag: 'never-logged', pairs: 2, examples: ['A-101'] },
      { flag: 'clock-doubtful', pairs: 1, examples: ['A-101'] },
    ];
    expect(overview(answer({ flags }), BOX).toPutRight).toBe(3);
  });
});
