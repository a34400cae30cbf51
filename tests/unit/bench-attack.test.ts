/**
 * What a busy bench does to the app: taps twice, scans again, stores that fail, windows side by side, and news that
 * comes in between. Nothing is recorded twice, nothing is lost, and nothing is said that is not so.
 */
import { describe, expect, test } from 'vitest';
import type { PairState } from '../../src/domain/fold/pair-state.ts';
import { openSpells } from '../../src/domain/fold/spells.ts';
import { barOf } from '../../src/tablet/app/bar.ts';
import { LedgerFailure } from '../../src/tablet/ledger/ledger.ts';
import {
  BADGE_OF_INES,
  BADGE_OF_TOMASZ,
  type Bench,
  benchAt,
  buttons,
  dueAt,
  fullBench,
  press,
  SECOND,
  SET_UP,
  says,
  scan,
  settled,
  stateOf,
  yesterday,
} from '../support/bench.ts';
import { tapsOf } from '../support/bench-taps.ts';
import { DESK, handAt, INES, LAY, LAYING, PAIR, SITE, TOMASZ, type Told, WLT } from '../support/builders.ts';

async function ready(): Promise<Bench> {
  const bench = await benchAt();
  await scan(bench, BADGE_OF_INES);
  return bench;
}

/** Logged by the office, with this note on it. */
async function readyWithNote(told: Told<'noted'> = { seeAt: [WLT] }) {
  const bench = await ready();
  const office = handAt(LAYING, null);
  const note = office.write('noted', told);
  await bench.pull(office.write('pair-logged'), note);
  return { bench, office, note };
}

async function tap(bench: Bench, act: (taps: ReturnType<typeof tapsOf>) => void) {
  act(tapsOf(bench));
  await settled(bench);
}

const twice =
  (act: (taps: ReturnType<typeof tapsOf>) => void) =>
  (taps: ReturnType<typeof tapsOf>): void => {
    act(taps);
    act(taps);
  };

const hands = (state: PairState) => state.spells.map(({ by, outcome }) => [by, outcome]);

describe('after a store that failed', () => {
  test('«Seen» tapped again is the same act: clocked in once', async () => {
    const { bench, note } = await readyWithNote();
    await scan(bench, PAIR);
    bench.ledger.trouble = 'stuck';
    await tap(bench, (acts) => acts.seen(note.id));
    bench.ledger.trouble = null;
    await tap(bench, (acts) => acts.seen(note.id));
    expect(await bench.kinds()).toEqual(['badged-on', 'note-seen', 'clocked-in']);
  });

  test('set aside tapped again is one clock-out and one setting aside', async () => {
    const bench = await ready();
    await scan(bench, PAIR);
    await tap(bench, (acts) => acts.choose({ is: 'set-aside' }));
    bench.ledger.trouble = 'stuck';
    await tap(bench, (acts) => acts.setAside('Waits for a part'));
    bench.ledger.trouble = null;
    await tap(bench, (acts) => acts.setAside('Waits for a part'));
    expect(await bench.kinds()).toEqual(['badged-on', 'clocked-in', 'clocked-out', 'set-aside']);
  });

  test('the ticket scanned again is not a clock-out', async () => {
    const bench = await ready();
    bench.ledger.trouble = 'stuck';
    await scan(bench, PAIR);
    bench.ledger.trouble = null;
    await scan(bench, PAIR);
    expect(await bench.kinds()).toEqual(['badged-on', 'clocked-in']);
  });

  test.each([
    { badge: BADGE_OF_INES, first: null, kinds: ['badged-on'], on: 'Ines Okafor' },
    { badge: BADGE_OF_INES, first: BADGE_OF_INES, kinds: ['badged-on', 'badged-off'], on: undefined },
    {
      badge: BADGE_OF_TOMASZ,
      first: BADGE_OF_INES,
      kinds: ['badged-on', 'badged-off', 'badged-on'],
      on: 'Tomasz Lindqvist',
    },
  ])(
    'a badge scanned again is the same act, not its opposite: $kinds',
    async ({ badge, first, kinds, on }) => {
      const bench = await benchAt();
      if (first !== null) await scan(bench, first);
      bench.ledger.trouble = 'full';
      await scan(bench, badge);
      bench.ledger.trouble = null;
      await scan(bench, badge);
      expect(await bench.kinds()).toEqual(kinds);
      expect(bench.app.view.on?.name).toBe(on);
    },
  );

  test('a quiet badge-off that failed is made before the hand badges on again', async () => {
    const bench = await ready();
    bench.pass(70);
    bench.ledger.trouble = 'full';
    bench.app.tick();
    await settled(bench);
    bench.ledger.trouble = null;
    await scan(bench, BADGE_OF_INES);
    expect(await bench.kinds()).toEqual(['badged-on', 'badged-off', 'badged-on']);
  });

  test.each(['mind', 'stop'] as const)(
    '«try again» does not clock in past a %s note that came in since',
    async (weight) => {
      const bench = await ready();
      bench.ledger.trouble = 'stuck';
      await scan(bench, PAIR);
      const office = handAt(LAYING, null);
      await bench.pull(office.write('pair-logged'), office.write('noted', { seeAt: [WLT], weight }));
      bench.pass(30);
      bench.ledger.trouble = null;
      await press(bench, 'Try again');
      expect(await bench.kinds()).toEqual(['badged-on']);
      expect(says(bench)).toBe(weight === 'stop' ? 'Stop. Do not work this pair' : 'One note to see first');
    },
  );

  test('a store that took the act without answering: «try again» shows it, note or not', async () => {
    const bench = await ready();
    const commit = bench.ledger.commit.bind(bench.ledger);
    bench.ledger.commit = async (drafts) => {
      await commit(drafts);
      throw new LedgerFailure('stuck');
    };
    await scan(bench, PAIR);
    expect(says(bench)).toBe('Not recorded: the store does not answer');
    bench.ledger.commit = commit;
    await bench.pull(handAt(LAYING, null).write('noted', { weight: 'stop' }));
    await press(bench, 'Try again');
    expect(await bench.kinds()).toEqual(['badged-on', 'clocked-in']);
    expect(barOf(bench.app.view).tone).toBe('stop');
  });

  test('a store that took the clock-out without answering: «try again» says clocked out', async () => {
    const bench = await ready();
    await scan(bench, PAIR);
    const commit = bench.ledger.commit.bind(bench.ledger);
    bench.ledger.commit = async (drafts) => {
      await commit(drafts);
      throw new LedgerFailure('stuck');
    };
    await scan(bench, PAIR);
    bench.ledger.commit = commit;
    await press(bench, 'Try again');
    expect(says(bench)).toMatch(/^Clocked out/);
    expect(await bench.kinds()).toEqual(['badged-on', 'clocked-in', 'clocked-out']);
  });

  test('the card of a retried act shows nothing of another pair', async () => {
    const bench = await ready();
    const office = handAt(LAYING, TOMASZ);
    await bench.pull(office.write('pair-logged', { pair: SECOND }));
    await scan(bench, SECOND);
    bench.ledger.trouble = 'stuck';
    await scan(bench, PAIR);
    await bench.pull(office.write('noted', { pair: SECOND, seeAt: [WLT] }));
    bench.ledger.trouble = null;
    const notes: (number | undefined)[] = [];
    bench.app.watch(({ screen }) => {
      if (screen.is === 'card' && screen.card.id === PAIR) notes.push(screen.card.pair?.notes.length);
    });
    await press(bench, 'Try again');
    expect(notes[0]).toBe(0);
  });

  test('a read that fails after the commit is not told as unrecorded', async () => {
    const { bench, office, note } = await readyWithNote();
    await bench.pull(office.write('noted', { seeAt: [WLT] }));
    await scan(bench, PAIR);
    const read = bench.ledger.recordsOfPair.bind(bench.ledger);
    let reads = 0;
    bench.ledger.recordsOfPair = async (pair) => {
      reads += 1;
      if (reads === 2) throw new LedgerFailure('stuck');
      return read(pair);
    };
    await tap(bench, (acts) => acts.seen(note.id));
    expect(bench.app.view.unrecorded).toBeNull();
    expect(await bench.kinds()).toEqual(['badged-on', 'note-seen']);
  });

  test('an act given up after a clock-out leaves it done, and the next act is free', async () => {
    const bench = await ready();
    await scan(bench, PAIR);
    await scan(bench, PAIR);
    bench.ledger.trouble = 'full';
    await tap(bench, (acts) => acts.notFinished());
    await press(bench, 'Leave it unrecorded');
    bench.ledger.trouble = null;
    expect((await stateOf(bench)).spells.map(({ outcome }) => outcome)).toEqual(['done']);
    await scan(bench, SECOND);
    expect(says(bench)).toMatch(/^Clocked in/);
  });
});

describe('the same thing twice', () => {
  test('a ticket scanned again while the first scan is still being recorded is one act', async () => {
    const bench = await ready();
    const commit = bench.ledger.commit.bind(bench.ledger);
    bench.ledger.commit = async (drafts) => {
      await new Promise((resolve) => setTimeout(resolve, 50));
      return commit(drafts);
    };
    const first = bench.app.scan(PAIR, 'wedge');
    await new Promise((resolve) => setTimeout(resolve, 10));
    await Promise.all([first, bench.app.scan(PAIR, 'wedge')]);
    expect(await bench.kinds()).toEqual(['badged-on', 'clocked-in']);
  });

  test('«Seen»', async () => {
    const { bench, note } = await readyWithNote();
    await scan(bench, PAIR);
    await tap(
      bench,
      twice((acts) => acts.seen(note.id)),
    );
    expect(await bench.kinds()).toEqual(['badged-on', 'note-seen', 'clocked-in']);
  });

  test('«Take it up again»', async () => {
    const bench = await ready();
    const office = handAt(LAYING, null);
    await bench.pull(office.write('pair-logged'), office.write('set-aside'));
    await scan(bench, PAIR);
    await tap(
      bench,
      twice((acts) => acts.answer('yes')),
    );
    expect(await bench.kinds()).toEqual(['badged-on', 'taken-up', 'clocked-in']);
  });

  test('clock out, undo, not finished and set aside, one after the other', async () => {
    const bench = await ready();
    await scan(bench, PAIR);
    for (const act of ['finish', 'undo', 'notFinished'] as const)
      await tap(
        bench,
        twice((acts) => acts[act]()),
      );
    await tap(
      bench,
      twice((acts) => acts.setAside('Ask the office')),
    );
    expect(await bench.kinds()).toEqual([
      'badged-on',
      'clocked-in',
      'clocked-out',
      'voided',
      'clocked-out',
      'set-aside',
    ]);
  });

  test.each([
    { what: 'part', tapped: (acts: ReturnType<typeof tapsOf>) => acts.part('left'), kind: 'parted' },
    { what: 'second-hand', tapped: () => {}, kind: 'hand-joined' },
  ] as const)('$what', async ({ what, tapped, kind }) => {
    const bench = await ready();
    await scan(bench, PAIR);
    await tap(bench, (acts) => acts.choose({ is: what }));
    await tap(bench, twice(tapped));
    if (what === 'second-hand')
      await Promise.all([bench.app.scan(BADGE_OF_TOMASZ, 'wedge'), bench.app.scan(BADGE_OF_TOMASZ, 'wedge')]);
    await settled(bench);
    expect((await bench.kinds()).filter((made) => made === kind)).toHaveLength(1);
    expect(bench.app.view.on?.id).toBe(INES);
  });
});

describe('taps that mean nothing on the card that is shown', () => {
  const WRONG: readonly ((acts: ReturnType<typeof tapsOf>) => void)[] = [
    (acts) => acts.looked(),
    (acts) => acts.answer('yes'),
    (acts) => acts.answer('take-on'),
    (acts) => acts.answer('beside'),
    (acts) => acts.answer('together'),
    (acts) => acts.answer('left'),
    (acts) => acts.answer('ended'),
    (acts) => acts.late('The scan was forgotten'),
    (acts) => acts.letThrough('I say so'),
    (acts) => acts.notNeeded(WLT),
    (acts) => acts.needed(),
    (acts) => acts.machineBack(WLT),
    (acts) => acts.release('I say so'),
    (acts) => acts.tick('probe'),
    (acts) => acts.tick('board'),
    (acts) => acts.tick({ thing: 'laces' }),
    (acts) => acts.tagByEye(),
    (acts) => acts.pass('I say so'),
    (acts) => acts.box('I say so'),
    (acts) => acts.nextStage(),
    (acts) => acts.forgotten('done-then'),
    (acts) => acts.forgotten('going-on'),
    (acts) => acts.rackIn(),
    (acts) => acts.rackOut(),
  ];

  test('leave a pair in work as it is', async () => {
    const bench = await fullBench();
    await bench.pull(...dueAt(WLT, bench.book, yesterday()));
    await scan(bench, PAIR);
    const before = await bench.kinds();
    const { screen } = bench.app.view;
    for (const act of WRONG) await tap(bench, act);
    expect(await bench.kinds()).toEqual(before);
    expect(bench.app.view.screen).toMatchObject(screen);
  });

  test('leave a bench without a card as it is', async () => {
    const bench = await fullBench();
    for (const act of [
      ...WRONG,
      (acts: ReturnType<typeof tapsOf>) => acts.finish(),
      (acts: ReturnType<typeof tapsOf>) => acts.notFinished(),
      (acts: ReturnType<typeof tapsOf>) => acts.undo(),
      (acts: ReturnType<typeof tapsOf>) => acts.setAside('Ask the office'),
      (acts: ReturnType<typeof tapsOf>) => acts.part('left'),
      (acts: ReturnType<typeof tapsOf>) => acts.machineStopped('Runs rough'),
      (acts: ReturnType<typeof tapsOf>) => acts.foundThis(),
      (acts: ReturnType<typeof tapsOf>) => acts.allDone(),
    ])
      await tap(bench, act);
    expect(await bench.kinds()).toEqual(['badged-on']);
    expect(bench.app.view.screen.is).toBe('ready');
  });

  test('with nobody on, a tap on the open list shows the pair and records nothing', async () => {
    const bench = await ready();
    await scan(bench, PAIR);
    await scan(bench, BADGE_OF_INES);
    const before = await bench.kinds();
    await tap(bench, (acts) => acts.openPair(PAIR));
    await tap(bench, (acts) => acts.finish());
    expect(await bench.kinds()).toEqual(before);
    expect(says(bench)).toBe('Scan your badge first');
  });
});

describe('news while a card is shown', () => {
  test('a note that lies in the store when the tap comes, not told yet, stops the tap', async () => {
    const bench = await ready();
    const office = handAt(LAYING, null);
    await bench.pull(office.write('pair-logged'), office.write('set-aside'));
    await scan(bench, PAIR);
    const applying = bench.pull(office.write('noted', { seeAt: [WLT], weight: 'stop' }));
    tapsOf(bench).answer('yes');
    await applying;
    expect(await bench.kinds()).not.toContain('clocked-in');
  });

  test('a stop note on a pair whose notes are being seen', async () => {
    const { bench, office, note } = await readyWithNote();
    await scan(bench, PAIR);
    await bench.pull(office.write('noted', { weight: 'stop' }));
    await tap(bench, (acts) => acts.seen(note.id));
    expect(await bench.kinds()).not.toContain('clocked-in');
  });

  test('a hint hides no note that has come in', async () => {
    const bench = await ready();
    await scan(bench, PAIR);
    await scan(bench, 'https://example.org', 'camera');
    const office = handAt(LAYING, null);
    await bench.pull(office.write('pair-logged'), office.write('noted', { seeAt: [WLT] }));
    expect(says(bench)).toBe('A note has come in');
  });

  test('a second scan goes past no unseen note', async () => {
    const bench = await ready();
    await scan(bench, PAIR);
    const office = handAt(LAYING, null);
    await bench.pull(office.write('pair-logged'), office.write('noted', { seeAt: [WLT] }));
    await scan(bench, PAIR);
    expect(await bench.kinds()).toEqual(['badged-on', 'clocked-in']);
    expect(says(bench)).toBe('A note has come in');
  });

  test('the clock-in taken back at the desk: «not finished» here leaves no flag', async () => {
    const bench = await ready();
    await scan(bench, PAIR);
    const clockIn = (await bench.made())[1];
    await bench.pull(handAt(DESK, null).write('voided', { of: clockIn?.id ?? ('' as never) }));
    await tap(bench, (acts) => acts.notFinished());
    const { flags } = await stateOf(bench);
    expect(flags.map(({ flag }) => flag).filter((flag) => flag !== 'never-logged')).toEqual([]);
  });

  test('the open list ends the spell of this bench, not the one at another', async () => {
    const bench = await ready();
    await scan(bench, PAIR);
    bench.pass(5);
    await bench.pull(handAt(LAYING, TOMASZ).write('clocked-in', { stage: LAY, at: bench.app.now() }));
    await tap(bench, (acts) => acts.leave());
    await tap(bench, (acts) => acts.openPair(PAIR));
    await tap(bench, (acts) => acts.finish());
    expect(hands(await stateOf(bench))).toEqual([
      [INES, 'done'],
      [TOMASZ, 'open'],
    ]);
  });

  test('a hint leaves what can be done within reach', async () => {
    const bench = await ready();
    await scan(bench, PAIR);
    await scan(bench, 'https://example.org', 'camera');
    expect(buttons(bench)).toEqual(['Go on']);
    await press(bench, 'Go on');
    expect(says(bench)).toMatch(/^Clocked in/);
    await press(bench, 'Undo');
    expect(says(bench)).toBe('Undone');
    await press(bench, 'To the bench');
    expect(says(bench)).toBe('Scan a ticket');
  });
});

describe('two windows of one tablet', () => {
  test('both take the same ticket at once: one spell', async () => {
    const bench = await ready();
    const there = await bench.window();
    await Promise.all([bench.app.scan(PAIR, 'wedge'), there.app.scan(PAIR, 'wedge')]);
    expect((await stateOf(bench)).spells).toHaveLength(1);
    expect((await stateOf(bench)).flags.map(({ flag }) => flag)).toEqual(['never-logged']);
  });

  test('both show the question, and both answer it', async () => {
    const bench = await ready();
    const office = handAt(LAYING, null);
    await bench.pull(office.write('pair-logged'), office.write('set-aside'));
    const there = await bench.window();
    await scan(bench, PAIR);
    await scan(there, PAIR);
    await Promise.all([bench.acts.begin.answer('yes'), there.acts.begin.answer('yes')]);
    await settled(bench);
    await settled(there);
    expect(openSpells(await stateOf(bench))).toHaveLength(1);
    expect(says(there)).toMatch(/^Clocked in/);
  });

  test('the one tries again what the other has begun meanwhile', async () => {
    const bench = await ready();
    const there = await bench.window();
    bench.ledger.trouble = 'full';
    await scan(bench, PAIR);
    bench.ledger.trouble = null;
    await scan(there, PAIR);
    await press(bench, 'Try again');
    expect((await stateOf(bench)).spells).toHaveLength(1);
  });

  test('a hand-over in the other is seen here, though the clock has stepped back', async () => {
    const bench = await ready();
    const there = await bench.window();
    bench.pass(-10);
    await scan(there, BADGE_OF_TOMASZ);
    await settled(bench);
    await scan(bench, PAIR);
    expect((await bench.made()).at(-1)).toMatchObject({ by: TOMASZ });
  });

  test('a set-up code in the settings wipes no record that the server would not take', async () => {
    const bench = await benchAt({
      is: 'enrolled',
      settings: {
        enrolment: {
          site: SITE,
          dataset: 'another',
          bench: LAYING,
          place: 'bench',
          name: 'Laying',
          key: '1'.repeat(64),
          lane: 4,
        },
        stages: [LAY],
      },
    });
    await scan(bench, BADGE_OF_INES);
    await bench.ledger.refuse((await bench.ledger.waiting(9)).map(({ id }) => ({ id, reasons: ['no'] })));
    await tap(bench, (acts) => acts.settings());
    await scan(bench, SET_UP);
    expect(says(bench)).toBe('Records that the server would not take are still here');
    expect(await bench.kinds()).toEqual(['badged-on']);
  });
});
