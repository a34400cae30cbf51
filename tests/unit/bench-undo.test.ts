/** Undo gives back exactly what was; and of work that nobody clocked out no time is made up. */
import { describe, expect, test } from 'vitest';
import type { PairState } from '../../src/domain/fold/pair-state.ts';
import { openSpells } from '../../src/domain/fold/spells.ts';
import { asStageCode } from '../../src/domain/ids.ts';
import {
  BADGE_OF_INES,
  BADGE_OF_RUTH,
  BADGE_OF_TOMASZ,
  type Bench,
  benchAt,
  buttons,
  dueAt,
  fullBench,
  press,
  says,
  scan,
  settled,
  stateOf,
  yesterday,
} from '../support/bench.ts';
import { tapsOf } from '../support/bench-taps.ts';
import {
  handAt,
  INES,
  INT,
  LAY,
  LAYING,
  MONDAY_8,
  NOBODYS_ID,
  PAIR,
  TOMASZ,
  WLT,
} from '../support/builders.ts';
import { oneShift } from '../support/shift.ts';

async function ready(): Promise<Bench> {
  const bench = await benchAt();
  await scan(bench, BADGE_OF_INES);
  return bench;
}

type Taps = ReturnType<typeof tapsOf>;

async function tap(bench: Bench, act: (taps: ReturnType<typeof tapsOf>) => void) {
  act(tapsOf(bench));
  await settled(bench);
}

const BACK_TO_WELTING = { to: WLT, shoe: 'both', fault: null, reason: 'seam open', again: null } as const;
const hands = (state: PairState) => state.spells.map(({ by, outcome }) => [by, outcome]);

describe('undo gives back what was', () => {
  /** What the pair is, without the names of records that stand for one another. */
  const asWas = ({ latest: _, met: __, ...state }: PairState) => ({
    ...state,
    // What somebody has seen is seen, whatever becomes of the work.
    notes: state.notes.map(({ seen: _____, ...note }) => note),
    spells: state.spells.map(({ endedBy: ___, to: ____, ...spell }) => spell),
    checked: state.checked === null ? null : state.checked.openNotes,
    boxed: state.boxed === null ? null : state.boxed.things,
    last: state.last,
  });

  interface Undone {
    readonly act: string;
    readonly at?: typeof WLT;
    readonly arrange?: (bench: Bench, way: ReturnType<typeof yesterday>) => Promise<void>;
    readonly give: (bench: Bench) => Promise<void>;
  }

  const inWork = (bench: Bench) => scan(bench, PAIR);
  const done = async (bench: Bench) => {
    await scan(bench, PAIR);
    await scan(bench, PAIR);
  };
  const aside = (bench: Bench, { elsewhere }: ReturnType<typeof yesterday>) =>
    bench.pull(elsewhere.write('set-aside', { at: bench.app.now() }));
  const parted = (bench: Bench, { elsewhere }: ReturnType<typeof yesterday>) =>
    bench.pull(elsewhere.write('parted', { at: bench.app.now() }));

  const CASES: readonly Undone[] = [
    { act: 'clock-in', give: inWork },
    { act: 'clock-in that takes the last', at: asStageCode('LAS'), give: inWork },
    { act: 'clock-out', arrange: inWork, give: inWork },
    { act: 'clock-out that frees the last', at: asStageCode('SLP'), arrange: inWork, give: inWork },
    { act: 'not finished', arrange: inWork, give: (bench) => press(bench, 'Not finished') },
    { act: 'set aside', arrange: inWork, give: (bench) => tap(bench, (acts) => acts.setAside('Wet')) },
    {
      act: 'sent back',
      arrange: inWork,
      give: (bench) => tap(bench, (acts) => acts.sendBack(BACK_TO_WELTING)),
    },
    {
      act: 'one shoe sent back',
      arrange: inWork,
      give: (bench) => tap(bench, (acts) => acts.sendBack({ ...BACK_TO_WELTING, shoe: 'left' })),
    },
    { act: 'not finished, said after done', arrange: done, give: (bench) => press(bench, 'Not finished') },
    {
      act: 'not finished, said after the last came out',
      at: asStageCode('SLP'),
      arrange: done,
      give: (bench) => press(bench, 'Not finished'),
    },
    {
      act: 'sent back, said after done',
      arrange: done,
      give: (bench) => tap(bench, (acts) => acts.sendBack(BACK_TO_WELTING)),
    },
    {
      act: 'set aside, said after done',
      arrange: done,
      give: (bench) => tap(bench, (acts) => acts.setAside('Wet')),
    },
    {
      act: 'taken up again',
      arrange: aside,
      give: async (bench) => {
        await scan(bench, PAIR);
        await press(bench, 'Take it up again');
      },
    },
    {
      act: 'taken up again, with a note to see between',
      arrange: async (bench, way) => {
        await aside(bench, way);
        await bench.pull(way.elsewhere.write('noted', { seeAt: [WLT], at: bench.app.now() }));
      },
      give: async (bench) => {
        await scan(bench, PAIR);
        await press(bench, 'Take it up again');
        const [note] = (await stateOf(bench)).notes;
        await tap(bench, (acts) => acts.seen(note?.note.id ?? NOBODYS_ID));
      },
    },
    {
      act: 'both shoes together and done again, two questions before the work',
      arrange: async (bench, way) => {
        await done(bench);
        bench.pass(1);
        await parted(bench, way);
        await aside(bench, way);
      },
      give: async (bench) => {
        await scan(bench, PAIR);
        await press(bench, 'Take it up again');
        await press(bench, 'Both are here');
        await press(bench, 'Do it again');
      },
    },
    {
      act: 'let through by the supervisor',
      arrange: (bench) => tap(bench, (acts) => acts.setStages([INT])),
      give: async (bench) => {
        await scan(bench, PAIR);
        expect(says(bench)).toMatch(/^Not yet/);
        await scan(bench, BADGE_OF_RUTH);
        await tap(bench, (acts) => acts.letThrough('Looked at it'));
      },
    },
    {
      act: 'done and not scanned',
      arrange: (bench) => tap(bench, (acts) => acts.setStages([LAY])),
      give: async (bench) => {
        await scan(bench, PAIR);
        expect(says(bench)).toMatch(/^Not yet/);
        await press(bench, 'Done, not scanned');
        await tap(bench, (acts) => acts.late('The scan was forgotten'));
      },
    },
    {
      act: 'taken on from another',
      arrange: async (bench) => {
        await scan(bench, PAIR);
        await scan(bench, BADGE_OF_TOMASZ);
      },
      give: async (bench) => {
        await scan(bench, PAIR);
        await press(bench, 'I take it on');
      },
    },
    {
      act: 'finished for another',
      arrange: async (bench) => {
        await scan(bench, PAIR);
        await scan(bench, BADGE_OF_TOMASZ);
      },
      give: async (bench) => {
        await scan(bench, PAIR);
        await press(bench, 'Finished');
      },
    },
  ];

  test.each(CASES)('$act', async ({ at = WLT, arrange, give }) => {
    const bench = await fullBench({ stages: [at] });
    const way = yesterday();
    await bench.pull(...dueAt(at, bench.book, way));
    await arrange?.(bench, way);
    const before = await stateOf(bench);
    await give(bench);
    expect(asWas(await stateOf(bench))).not.toEqual(asWas(before));
    await press(bench, 'Undo');
    expect(says(bench)).toBe('Undone');
    const after = await stateOf(bench);
    expect(asWas(after)).toEqual(asWas(before));
    expect(after.flags).toEqual([]);
    const openHere = openSpells(after).map(({ id }) => id);
    expect(bench.app.view.open.map(({ spell }) => spell)).toEqual(openHere);
  });

  test('undo of a clock-in does not reach for another bench’s spell', async () => {
    const bench = await ready();
    const other = handAt(LAYING, TOMASZ);
    await bench.pull(other.write('pair-logged'), other.write('clocked-in', { stage: WLT }));
    await scan(bench, PAIR);
    await tap(bench, (acts) => acts.answer('yes'));
    await tap(bench, (acts) => acts.undo());
    await tap(bench, (acts) => acts.finish());
    expect(hands(await stateOf(bench))).toEqual([[TOMASZ, 'open']]);
  });

  test('sent back after it left the works, it is back in them', async () => {
    const bench = await benchAt(undefined, { closingStage: WLT });
    await scan(bench, BADGE_OF_INES);
    await scan(bench, PAIR);
    await scan(bench, PAIR);
    expect((await stateOf(bench)).closedAt).not.toBeNull();
    await tap(bench, (acts) => acts.sendBack(BACK_TO_WELTING));
    expect((await stateOf(bench)).closedAt).toBeNull();
  });
});

describe('work that nobody clocked out', () => {
  const DAY = 24 * 3_600_000;
  const shifts = [0, 1].map((day) =>
    oneShift('Day', MONDAY_8 + day * DAY - 3_600_000, MONDAY_8 + day * DAY + 9 * 3_600_000),
  );

  async function nextMorning(stage = WLT): Promise<Bench> {
    const bench = await fullBench({ stages: [stage], told: { shifts } });
    await bench.pull(...dueAt(stage, bench.book, yesterday()));
    await scan(bench, PAIR);
    bench.pass(24 * 60);
    bench.app.tick();
    await settled(bench);
    await scan(bench, BADGE_OF_INES);
    await scan(bench, PAIR);
    return bench;
  }

  test.each([
    { label: 'Done that day', spells: [{ outcome: 'done', timed: false }] },
    { label: 'Done just now', spells: [{ outcome: 'done', timed: true }] },
    {
      label: 'Still at it',
      spells: [
        { outcome: 'not-finished', timed: false },
        { outcome: 'open', timed: true },
      ],
    },
    { label: 'Not finished', spells: [{ outcome: 'not-finished', timed: false }] },
    { label: 'To the bench', spells: [{ outcome: 'open', timed: true }] },
  ])('«$label»', async ({ label, spells }) => {
    const bench = await nextMorning();
    expect(says(bench)).toMatch(/^Clocked in since Mon 2 Nov, 08:00$/);
    await press(bench, label);
    const state = await stateOf(bench);
    expect(state.spells.filter(({ stage }) => stage === WLT)).toMatchObject(spells);
    expect(state.flags).toEqual([]);
  });

  test.each([
    {
      act: 'set aside from the open list',
      give: (acts: Taps) => acts.setAside('Wet'),
      outcome: 'not-finished',
    },
    { act: 'sent back', give: (acts: Taps) => acts.sendBack(BACK_TO_WELTING), outcome: 'not-finished' },
    { act: 'clocked out', give: (acts: Taps) => acts.finish(), outcome: 'open' },
  ])('$act, it makes up no time', async ({ give, outcome }) => {
    const bench = await nextMorning();
    await press(bench, 'To the bench');
    await tap(bench, (acts) => acts.openPair(PAIR));
    await tap(bench, give);
    const spell = (await stateOf(bench)).spells.at(-1);
    expect(spell?.outcome).toBe(outcome);
    expect(spell?.timed).toBe(outcome === 'open');
  });

  test('taken on by another the next morning, it makes up no time either', async () => {
    const bench = await nextMorning();
    await scan(bench, BADGE_OF_TOMASZ);
    await scan(bench, PAIR);
    await press(bench, 'I take it on');
    expect((await stateOf(bench)).spells.slice(-2)).toMatchObject([
      { by: INES, outcome: 'not-finished', timed: false },
      { by: TOMASZ, outcome: 'open' },
    ]);
  });

  test('a check that was forgotten still wants its questions', async () => {
    const bench = await nextMorning(asStageCode('CHK'));
    expect(buttons(bench)).not.toContain('Done that day');
    await tap(bench, (acts) => acts.forgotten('done-then'));
    expect(says(bench)).toBe('Feel for nail points, compare the pair');
    expect(openSpells(await stateOf(bench))).toHaveLength(1);
  });
});
