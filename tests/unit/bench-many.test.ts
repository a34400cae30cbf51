/** Several pairs at one touch: a rack, and all that whoever is on has open here. */
import { describe, expect, test } from 'vitest';
import { openSpells } from '../../src/domain/fold/spells.ts';
import { asStageCode } from '../../src/domain/ids.ts';
import {
  BADGE_OF_INES,
  BADGE_OF_TOMASZ,
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
  THIRD,
  yesterday,
} from '../support/bench.ts';
import { tapsOf } from '../support/bench-taps.ts';
import { handAt, INES, LAYING, PAIR, RACK, TOMASZ, WLT } from '../support/builders.ts';

const ALL = [PAIR, SECOND, THIRD];

/** Three pairs due here, all on the rack. */
async function atRack(stage = WLT): Promise<Bench> {
  const bench = await fullBench({ stages: [stage] });
  const way = yesterday();
  for (const [index, pair] of ALL.entries()) {
    const told = { pair, last: String(80 + index) };
    await bench.pull(...dueAt(stage, bench.book, way, told), way.elsewhere.write('racked', { pair }));
  }
  return bench;
}

const outcomes = async (bench: Bench) =>
  Promise.all(ALL.map(async (pair) => (await stateOf(bench, pair)).spells.at(-1)?.outcome));

const open = async (bench: Bench) =>
  (await Promise.all(ALL.map((pair) => stateOf(bench, pair)))).flatMap((state) => openSpells(state)).length;

describe('a rack', () => {
  test('scanned with a card open, the pair is put on it; scanned at the bench, it is opened', async () => {
    const bench = await fullBench();
    await bench.pull(...dueAt(WLT, bench.book, yesterday()));
    await scan(bench, PAIR);
    await scan(bench, RACK);
    expect(says(bench)).toBe('On Rack 4');
    expect((await stateOf(bench)).rack).toBe(RACK);
    await press(bench, 'To the bench');
    expect(says(bench)).toBe('Scan a ticket');
    await scan(bench, RACK);
    expect(says(bench)).toBe('Rack 4: 1 pair');
  });

  test('one touch clocks all in, another all out: one scan of the rack each', async () => {
    const bench = await atRack();
    await scan(bench, RACK);
    expect(says(bench)).toBe('Rack 4: 3 pairs');
    await press(bench, 'Clock all in');
    expect(says(bench)).toBe('3 pairs clocked in');
    expect(bench.app.view.open).toHaveLength(3);
    bench.pass(30);
    await scan(bench, RACK);
    await press(bench, 'All done');
    expect(says(bench)).toBe('3 pairs clocked out');
    expect(await outcomes(bench)).toEqual(['done', 'done', 'done']);
    expect((await stateOf(bench)).flags).toEqual([]);
  });

  test('a pair with a note, one not due and one with a question want a scan of their own', async () => {
    const bench = await atRack();
    await bench.pull(handAt(LAYING, TOMASZ).write('noted', { pair: SECOND, seeAt: [WLT] }));
    await scan(bench, RACK);
    await press(bench, 'Clock all in');
    expect(says(bench)).toBe('2 pairs clocked in');
    expect(next(bench)).toMatch(/^1 pair wants a scan of its own$/);
    expect(await open(bench)).toBe(2);
  });

  test('re-lasting takes a pair of lasts each, so each wants a scan', async () => {
    const bench = await atRack(asStageCode('LAS'));
    await scan(bench, RACK);
    expect(buttons(bench)).toEqual(['To the bench']);
    expect(await open(bench)).toBe(0);
  });

  test('pairs that are in already are not said to want a scan', async () => {
    const bench = await atRack();
    await scan(bench, PAIR);
    await scan(bench, RACK);
    await press(bench, 'To the bench');
    await scan(bench, RACK);
    await press(bench, 'Clock all in');
    expect(says(bench)).toBe('2 pairs clocked in');
    expect(next(bench)).not.toContain('scan of');
  });

  test('tapped twice it is one touch', async () => {
    const bench = await atRack();
    await scan(bench, RACK);
    const acts = tapsOf(bench);
    acts.rackIn();
    acts.rackIn();
    acts.rackOut();
    await settled(bench);
    expect(says(bench)).toBe('3 pairs clocked in');
    expect(await open(bench)).toBe(3);
  });

  test('«try again» does not clock in a pair whose stop note came in since', async () => {
    const bench = await atRack();
    await scan(bench, RACK);
    bench.ledger.trouble = 'full';
    await press(bench, 'Clock all in');
    expect(says(bench)).toBe('Not recorded: the tablet is full');
    await bench.pull(handAt(LAYING, TOMASZ).write('noted', { pair: SECOND, weight: 'stop' }));
    bench.ledger.trouble = null;
    await press(bench, 'Try again');
    expect(openSpells(await stateOf(bench, SECOND))).toEqual([]);
    expect(await open(bench)).toBe(2);
    expect(says(bench)).toBe('2 pairs clocked in');
  });

  test('the failed touch tried again makes the very same records, once', async () => {
    const bench = await atRack();
    await scan(bench, RACK);
    bench.ledger.trouble = 'full';
    await press(bench, 'Clock all in');
    bench.ledger.trouble = null;
    await press(bench, 'Try again');
    expect(await open(bench)).toBe(3);
    expect((await bench.kinds()).filter((kind) => kind === 'clocked-in')).toHaveLength(3);
  });
});

describe('all done', () => {
  test('ends what this hand has open, not what another has', async () => {
    const bench = await atRack();
    await scan(bench, PAIR);
    await scan(bench, BADGE_OF_TOMASZ);
    await scan(bench, SECOND);
    await scan(bench, THIRD);
    tapsOf(bench).leave();
    await settled(bench);
    await press(bench, 'All done');
    expect(says(bench)).toBe('2 pairs clocked out');
    expect(bench.app.view.open).toMatchObject([{ pair: PAIR, by: INES }]);
  });

  test('a pair with a note that came in stays open', async () => {
    const bench = await atRack();
    for (const pair of ALL) await scan(bench, pair);
    await bench.pull(handAt(LAYING, TOMASZ).write('noted', { pair: SECOND, weight: 'stop' }));
    tapsOf(bench).leave();
    await settled(bench);
    await press(bench, 'All done');
    expect(bench.app.view.open).toMatchObject([{ pair: SECOND }]);
    expect(next(bench)).toBe('1 pair wants a scan of its own');
  });

  test('tapped twice it is one touch, and says what the first one did', async () => {
    const bench = await atRack();
    for (const pair of ALL) await scan(bench, pair);
    await bench.pull(handAt(LAYING, TOMASZ).write('noted', { pair: SECOND, weight: 'stop' }));
    tapsOf(bench).leave();
    await settled(bench);
    const acts = tapsOf(bench);
    acts.allDone();
    acts.allDone();
    await settled(bench);
    expect(says(bench)).toBe('2 pairs clocked out');
  });

  test('is there right after the badge, for whoever comes back to several open pairs', async () => {
    const bench = await atRack();
    await scan(bench, PAIR);
    await scan(bench, SECOND);
    await scan(bench, BADGE_OF_INES);
    expect(says(bench)).toBe('Ines Okafor is off');
    await scan(bench, BADGE_OF_INES);
    expect(says(bench)).toBe('Ines Okafor is on');
    expect(buttons(bench)).toEqual(['All done', 'Just found']);
  });
});
