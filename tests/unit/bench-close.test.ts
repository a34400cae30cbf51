/** The two stages that end with questions of their own: the final check, and boxing. */
import { describe, expect, test } from 'vitest';
import { asStageCode } from '../../src/domain/ids.ts';
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import { barOf } from '../../src/tablet/app/bar.ts';
import {
  BADGE_OF_RUTH,
  type Bench,
  buttons,
  dueAt,
  fullBench,
  next,
  press,
  SECOND,
  says,
  scan,
  settled,
  stateOf,
  yesterday,
} from '../support/bench.ts';
import { tapsOf } from '../support/bench-taps.ts';
import { CHK, handAt, LAYING, PAIR, TOMASZ } from '../support/builders.ts';

const BOX = asStageCode('BOX');

async function at(
  stage: typeof CHK,
  more: (way: ReturnType<typeof yesterday>) => readonly LedgerRecord[] = () => [],
) {
  const bench = await fullBench({ stages: [stage] });
  const way = yesterday();
  await bench.pull(...dueAt(stage, bench.book, way, { withPair: ['laces', 'shoe trees'] }), ...more(way));
  await scan(bench, PAIR);
  expect(says(bench)).toMatch(/^(Clocked in|One note)/);
  return bench;
}

async function tap(bench: Bench, ...acts: ((taps: ReturnType<typeof tapsOf>) => void)[]) {
  for (const act of acts) {
    act(tapsOf(bench));
    await settled(bench);
  }
}

const tickBoth = (bench: Bench) =>
  tap(
    bench,
    (acts) => acts.tick('probe'),
    (acts) => acts.tick('board'),
  );

describe('the final check', () => {
  test('the second scan asks; passing wants both ticks; the third scan passes', async () => {
    const bench = await at(CHK);
    await scan(bench, PAIR);
    expect(says(bench)).toBe('Feel for nail points, compare the pair');
    expect(buttons(bench)).not.toContain('Pass');
    await scan(bench, PAIR);
    tapsOf(bench).pass(null);
    await settled(bench);
    expect((await bench.kinds()).at(-1)).toBe('clocked-in');
    await tickBoth(bench);
    expect(says(bench)).toBe('Pass this pair?');
    await scan(bench, PAIR);
    expect(says(bench)).toMatch(/^Clocked out/);
    expect((await bench.made()).slice(-2)).toMatchObject([
      { kind: 'checked', probe: true, board: true, openNotes: [], unrecorded: [], why: null },
      { kind: 'clocked-out', outcome: 'done', closes: false },
    ]);
  });

  test('two boxes touched in quick succession are two ticks', async () => {
    const bench = await at(CHK);
    await scan(bench, PAIR);
    const acts = tapsOf(bench);
    acts.tick('probe');
    acts.tick('board');
    await settled(bench);
    expect(says(bench)).toBe('Pass this pair?');
  });

  test('a tick is taken off again by the second tap, and then it does not pass', async () => {
    const bench = await at(CHK);
    await scan(bench, PAIR);
    await tickBoth(bench);
    await tap(bench, (acts) => acts.tick('probe'));
    await scan(bench, PAIR);
    expect(await bench.kinds()).not.toContain('checked');
  });

  test('«Pass» tapped twice passes once', async () => {
    const bench = await at(CHK);
    await scan(bench, PAIR);
    await tickBoth(bench);
    await Promise.all([press(bench, 'Pass'), press(bench, 'Pass')]);
    expect((await bench.kinds()).slice(2)).toEqual(['checked', 'clocked-out']);
  });

  test('a note not cured and a stage without a record want a reason, and are named in the record', async () => {
    const bench = await fullBench({ stages: [CHK] });
    const way = yesterday();
    const note = way.elsewhere.write('noted', {
      weight: 'mend',
      seeAt: [asStageCode('WAX')],
      text: 'scratch',
    });
    const records = dueAt(CHK, bench.book, way).filter(
      (record) => !('stage' in record && record.stage === 'RND'),
    );
    await bench.pull(...records, note);
    await scan(bench, PAIR);
    await scan(bench, PAIR);
    await tickBoth(bench);
    await press(bench, 'Pass');
    expect(says(bench)).toBe('Something is still open');
    expect((await bench.kinds()).at(-1)).toBe('clocked-in');
    await scan(bench, PAIR);
    expect(says(bench)).toBe('Something is still open');
    await tap(bench, (acts) => acts.pass('Looked at it: good enough to go'));
    expect((await bench.made()).at(-2)).toMatchObject({
      kind: 'checked',
      openNotes: [note.id],
      unrecorded: ['RND'],
      why: 'Looked at it: good enough to go',
    });
    expect(says(bench)).toMatch(/^Clocked out/);
  });

  test('undo of a pass takes check and clock-out back, and the pair is open here as before', async () => {
    const bench = await at(CHK);
    const before = await stateOf(bench);
    await scan(bench, PAIR);
    await tickBoth(bench);
    await press(bench, 'Pass');
    await press(bench, 'Undo');
    const after = await stateOf(bench);
    expect([after.checked, after.spells, after.flags]).toEqual([null, before.spells, []]);
    expect(buttons(bench)).not.toContain('Clock out');
  });

  test('not finished within seconds of the pass, undone: the pass stands again with its ticks', async () => {
    const bench = await at(CHK);
    await scan(bench, PAIR);
    await tickBoth(bench);
    await press(bench, 'Pass');
    await press(bench, 'Not finished');
    expect((await stateOf(bench)).checked).toBeNull();
    await press(bench, 'Undo');
    const state = await stateOf(bench);
    expect(state.checked).toMatchObject({ probe: true, board: true });
    expect(state.spells.at(-1)?.outcome).toBe('done');
    expect(state.flags).toEqual([]);
  });

  test('a stop note that comes in turns the bar, and neither scan nor tap passes the pair', async () => {
    const bench = await at(CHK);
    await scan(bench, PAIR);
    await tickBoth(bench);
    const note = handAt(LAYING, TOMASZ).write('noted', { weight: 'stop', seeAt: [asStageCode('RIB')] });
    await bench.pull(note);
    expect(barOf(bench.app.view)).toMatchObject({ tone: 'stop', shape: 'octagon' });
    await tap(
      bench,
      (acts) => acts.pass(null),
      (acts) => acts.pass('Looked at it'),
    );
    await scan(bench, PAIR);
    expect(await bench.kinds()).not.toContain('checked');
    expect(says(bench)).toBe('Stop. A note has come in');
    await scan(bench, BADGE_OF_RUTH);
    await tap(bench, (acts) => acts.release('Looked at it: work can go on'));
    await scan(bench, PAIR);
    expect(says(bench)).toBe('Feel for nail points, compare the pair');
  });

  test('sent back from the check it is neither passed nor done there', async () => {
    const bench = await at(CHK);
    await scan(bench, PAIR);
    await press(bench, 'Send back');
    await tap(bench, (acts) =>
      acts.sendBack({ to: asStageCode('EST'), shoe: 'both', fault: null, reason: 'shade', again: null }),
    );
    const state = await stateOf(bench);
    expect(state.checked).toBeNull();
    expect(state.spells.filter(({ stage }) => stage === CHK).map(({ outcome }) => outcome)).toEqual([
      'not-finished',
    ]);
  });
});

describe('boxing', () => {
  test('the second shoe’s tag, everything ticked, then boxed: pair by its number, things by name', async () => {
    const bench = await at(BOX);
    await scan(bench, PAIR);
    expect(says(bench)).toBe('Scan the second shoe’s tag');
    expect(buttons(bench)).not.toContain('Boxed');
    await scan(bench, `${PAIR}L`);
    expect(says(bench)).toBe('Everything back in the box?');
    await tap(
      bench,
      (acts) => acts.tick({ thing: 'laces' }),
      (acts) => acts.tick({ thing: 'shoe trees' }),
    );
    await press(bench, 'Boxed');
    expect((await bench.made()).slice(-2)).toMatchObject([
      {
        kind: 'boxed',
        things: [
          { thing: 'laces', back: true },
          { thing: 'shoe trees', back: true },
        ],
        tag: 'scanned',
        why: null,
      },
      { kind: 'clocked-out', stage: BOX, outcome: 'done' },
    ]);
  });

  test('another pair’s tag says whose it is, and nothing is recorded', async () => {
    const bench = await at(BOX);
    await scan(bench, PAIR);
    await scan(bench, `${SECOND}R`);
    expect(says(bench)).toMatch(/^Stop: this shoe belongs to /);
    expect(next(bench)).toContain('P7K4 292W');
    expect((await bench.kinds()).at(-1)).toBe('clocked-in');
    await scan(bench, `${PAIR}R`);
    expect(says(bench)).toBe('Everything back in the box?');
  });

  test('a number read by eye stands in the record as such', async () => {
    const bench = await at(BOX);
    await scan(bench, PAIR);
    await press(bench, 'Read by eye');
    await tap(
      bench,
      (acts) => acts.tick({ thing: 'laces' }),
      (acts) => acts.tick({ thing: 'shoe trees' }),
    );
    await press(bench, 'Boxed');
    expect((await bench.made()).at(-2)).toMatchObject({ kind: 'boxed', tag: 'by-eye' });
  });

  test('something not back wants a reason; the scan of the ticket asks for it too', async () => {
    const bench = await at(BOX);
    await scan(bench, PAIR);
    await press(bench, 'Read by eye');
    await tap(bench, (acts) => acts.tick({ thing: 'laces' }));
    await scan(bench, PAIR);
    expect(says(bench)).toBe('Not everything is back');
    await tap(bench, (acts) => acts.box('The owner has it already'));
    expect((await bench.made()).at(-2)).toMatchObject({
      kind: 'boxed',
      things: [
        { thing: 'laces', back: true },
        { thing: 'shoe trees', back: false },
      ],
      why: 'The owner has it already',
    });
  });

  test('a reason does not stand in for the second shoe', async () => {
    const bench = await at(BOX);
    await scan(bench, PAIR);
    await tap(bench, (acts) => acts.box('The owner has it already'));
    expect(await bench.kinds()).not.toContain('boxed');
  });

  test('a thing that the office wrote twice is asked for once', async () => {
    const bench = await fullBench({ stages: [BOX] });
    await bench.pull(...dueAt(BOX, bench.book, yesterday(), { withPair: ['laces', 'laces'] }));
    await scan(bench, PAIR);
    await scan(bench, PAIR);
    await press(bench, 'Read by eye');
    await tap(bench, (acts) => acts.tick({ thing: 'laces' }));
    await press(bench, 'Boxed');
    expect((await bench.made()).at(-2)).toMatchObject({ things: [{ thing: 'laces', back: true }] });
  });

  test('a supervisor’s badge releases the stop from the boxing card too', async () => {
    const bench = await at(BOX);
    await scan(bench, PAIR);
    await bench.pull(handAt(LAYING, TOMASZ).write('noted', { weight: 'stop', seeAt: [asStageCode('RIB')] }));
    await scan(bench, BADGE_OF_RUTH);
    await tap(bench, (acts) => acts.release('Looked at it: work can go on'));
    expect((await bench.kinds()).at(-1)).toBe('note-released');
    await press(bench, 'Go on');
    expect(says(bench)).toBe('Scan the second shoe’s tag');
  });

  test('a stop note that comes in stops the box as well', async () => {
    const bench = await at(BOX);
    await scan(bench, PAIR);
    await press(bench, 'Read by eye');
    await bench.pull(handAt(LAYING, TOMASZ).write('noted', { weight: 'stop', seeAt: [asStageCode('RIB')] }));
    await tap(bench, (acts) => acts.box('The owner has it already'));
    expect(await bench.kinds()).not.toContain('boxed');
    expect(barOf(bench.app.view).tone).toBe('stop');
    await scan(bench, BADGE_OF_RUTH);
    expect(says(bench)).toBe('Ruth Adeyemi: release the stop?');
  });
});
