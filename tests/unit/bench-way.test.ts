/**
 * Before a pair is begun: every question with every answer to it, and that after it the pair is clocked in or the
 * next thing is asked. Ruth's is the supervisor's badge.
 */
import { describe, expect, test } from 'vitest';
import type { Ask } from '../../src/domain/begin.ts';
import { openSpells } from '../../src/domain/fold/spells.ts';
import { asStageCode } from '../../src/domain/ids.ts';
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import { lastOf } from '../../src/domain/way.ts';
import {
  BADGE_OF_INES,
  BADGE_OF_PIA,
  BADGE_OF_RUTH,
  BADGE_OF_TOMASZ,
  type Bench,
  buttons,
  dueAt,
  fullBench,
  PIA,
  press,
  SECOND,
  says,
  scan,
  settled,
  stateOf,
  yesterday,
} from '../support/bench.ts';
import { tapsOf } from '../support/bench-taps.ts';
import { DSP, handAt, INES, INT, LAYING, PAIR, RUTH, TOMASZ, WELTING, WLT } from '../support/builders.ts';

const [LAS, ETR, PUL] = ['LAS', 'ETR', 'PUL'].map(asStageCode) as [typeof WLT, typeof WLT, typeof WLT];
const HOUR_MS = 3_600_000;
const AN_HOUR_AGO = 1_793_606_400_000 - HOUR_MS;

type Way = ReturnType<typeof yesterday>;

/** A bench where PAIR is due at `stage`, and what else has happened to it. */
async function dueBench(
  stage = WLT,
  more: (way: Way) => readonly LedgerRecord[] = () => [],
  { on = BADGE_OF_INES, told = {} }: { on?: string; told?: Parameters<typeof dueAt>[3] } = {},
): Promise<Bench> {
  const bench = await fullBench({ stages: [stage], on });
  const way = yesterday();
  await bench.pull(...dueAt(stage, bench.book, way, told), ...more(way));
  return bench;
}

interface Answered {
  readonly by: string;
  readonly give: (bench: Bench) => Promise<void>;
  /** The kinds of what is recorded by it, in order. */
  readonly makes: readonly string[];
  readonly shows: RegExp;
}

interface Asked {
  readonly arrange: () => Promise<Bench>;
  readonly says: RegExp;
  readonly answers: readonly Answered[];
}

const CLOCKED_IN = /^Clocked in 0/;
const READY = /^Scan a ticket$/;

const pressed = (label: string, makes: readonly string[], shows: RegExp): Answered => ({
  by: label,
  give: (bench) => press(bench, label),
  makes,
  shows,
});
const leaves = pressed('Leave it', [], READY);
const notThisPair = pressed('Not this pair', [], READY);
const onlyFound = pressed('Only found here', ['found-here'], /^Found here$/);

/** The supervisor's badge, then a tap on what the card offers. */
const supervisor = (
  what: string,
  tap: (acts: ReturnType<typeof tapsOf>) => void,
  makes: readonly string[],
  shows: RegExp,
): Answered => ({
  by: `the supervisor: ${what}`,
  give: async (bench) => {
    await scan(bench, BADGE_OF_RUTH);
    expect(says(bench)).toBe('Ruth Adeyemi: let it through?');
    tap(tapsOf(bench));
    await settled(bench);
  },
  makes,
  shows,
});
const letThrough = (makes: readonly string[], shows: RegExp) =>
  supervisor('a reason', (acts) => acts.letThrough('Looked at it'), ['let-through', ...makes], shows);

const QUESTIONS: { readonly [A in Ask]: Asked } = {
  'open-by-another': {
    arrange: async () => {
      const bench = await dueBench();
      await scan(bench, PAIR);
      await scan(bench, BADGE_OF_TOMASZ);
      await scan(bench, PAIR);
      return bench;
    },
    says: /^Ines Okafor has it open since 08:00$/,
    answers: [
      pressed('Finished', ['clocked-out'], /^Clocked out/),
      pressed('I take it on', ['clocked-out', 'clocked-in'], CLOCKED_IN),
      pressed('We work together', ['clocked-in'], CLOCKED_IN),
      leaves,
    ],
  },
  closed: {
    arrange: async () => {
      const bench = await dueBench(DSP);
      await scan(bench, PAIR);
      await scan(bench, PAIR);
      await scan(bench, PAIR);
      return bench;
    },
    says: /^This pair has left the works$/,
    answers: [pressed('Clock it in', [], /is done already$/), onlyFound, leaves],
  },
  'returned-in-parts': {
    arrange: () =>
      dueBench(WLT, ({ office }) => [office.write('owner-answered', { answer: 'stop' })]).then(scanned),
    says: /^The owner has said stop$/,
    answers: [onlyFound, leaves],
  },
  'set-aside': {
    arrange: () => dueBench(WLT, ({ elsewhere }) => [elsewhere.write('set-aside')]).then(scanned),
    says: /^This pair is set aside$/,
    answers: [pressed('Take it up again', ['taken-up', 'clocked-in'], CLOCKED_IN), onlyFound, leaves],
  },
  parted: {
    arrange: () => dueBench(ETR, ({ elsewhere }) => [elsewhere.write('parted')]).then(scanned),
    says: /^Only one shoe\? The left one went alone$/,
    answers: [
      pressed('Both are here', ['rejoined', 'clocked-in'], CLOCKED_IN),
      letThrough([], /^This pair is parted$/),
      onlyFound,
      leaves,
    ],
  },
  'which-shoe': {
    arrange: () => dueBench(WLT, ({ elsewhere }) => [elsewhere.write('parted')]).then(scanned),
    says: /^This pair is parted$/,
    answers: [
      pressed('Left', ['clocked-in'], CLOCKED_IN),
      pressed('Right', ['clocked-in'], CLOCKED_IN),
      pressed('Both are here', ['rejoined', 'clocked-in'], CLOCKED_IN),
      leaves,
    ],
  },
  'open-elsewhere': {
    arrange: () =>
      dueBench(WLT, () => [handAt(LAYING, TOMASZ, AN_HOUR_AGO).write('clocked-in')]).then(scanned),
    says: /^Open at /,
    answers: [
      pressed('Clock in here too', ['clocked-in'], CLOCKED_IN),
      pressed('Finished there', ['clocked-out'], /is done already$/),
      onlyFound,
      leaves,
    ],
  },
  'done-already': {
    arrange: async () => scanned(await scanned(await scanned(await dueBench()))),
    says: /^Welt sewing is done already$/,
    answers: [pressed('Do it again', ['clocked-in'], CLOCKED_IN), onlyFound, leaves],
  },
  'not-on-route': {
    arrange: () =>
      fullBench().then(async (bench) => {
        await bench.pull(yesterday().office.write('pair-logged', { job: 'HL', yes: 'given' }));
        return scanned(bench);
      }),
    says: /^Heel only has no welt sewing$/,
    answers: [
      letThrough(['clocked-in'], CLOCKED_IN),
      supervisor('needed', (acts) => acts.needed(), ['stage-asked'], /^Not yet: no record of/),
      onlyFound,
      notThisPair,
    ],
  },
  'owners-yes': {
    arrange: () => dueBench(PUL, undefined, { told: { yes: 'to-ask' } }).then(scanned),
    says: /^It waits for the owner’s yes$/,
    answers: [
      letThrough(['clocked-in'], CLOCKED_IN),
      {
        by: 'Set aside',
        give: async (bench) => {
          await press(bench, 'Set aside');
          tapsOf(bench).setAside('Ask the office');
          await settled(bench);
        },
        makes: ['set-aside'],
        shows: /^Set aside$/,
      },
      onlyFound,
      leaves,
    ],
  },
  'not-due': {
    arrange: async () => {
      const bench = await fullBench({ stages: [INT] });
      await bench.pull(...dueAt(WLT, bench.book, yesterday()));
      return scanned(bench);
    },
    says: /^Not yet: no record of Welt sewing$/,
    answers: [
      {
        by: 'Done, not scanned',
        give: async (bench) => {
          await press(bench, 'Done, not scanned');
          tapsOf(bench).late('The scan was forgotten');
          await settled(bench);
        },
        makes: ['done-unscanned', 'clocked-in'],
        shows: CLOCKED_IN,
      },
      letThrough(['clocked-in'], CLOCKED_IN),
      supervisor('not needed', (acts) => acts.notNeeded(WLT), ['not-needed', 'clocked-in'], CLOCKED_IN),
      onlyFound,
      notThisPair,
    ],
  },
  'not-released': {
    arrange: () => dueBench(WLT, undefined, { on: BADGE_OF_PIA }).then(scanned),
    says: /^You are not released for welt sewing$/,
    answers: [
      letThrough(['clocked-in'], CLOCKED_IN),
      {
        by: 'the badge of a released hand',
        give: (bench) => scan(bench, BADGE_OF_TOMASZ),
        makes: ['clocked-in', 'hand-joined'],
        shows: CLOCKED_IN,
      },
      onlyFound,
      leaves,
    ],
  },
  'out-of-use': {
    arrange: () =>
      dueBench(WLT, () => [
        handAt(LAYING, TOMASZ, AN_HOUR_AGO).write('machine-stopped', { where: WELTING, stage: WLT }),
      ]).then(scanned),
    says: /^This machine is out of use$/,
    answers: [
      letThrough(['clocked-in'], CLOCKED_IN),
      supervisor('runs again', (acts) => acts.machineBack(WLT), ['machine-back', 'clocked-in'], CLOCKED_IN),
      onlyFound,
      leaves,
    ],
  },
  'last-held': {
    arrange: () =>
      dueBench(LAS, ({ office, elsewhere }) => {
        const logged = office.write('pair-logged', { pair: SECOND });
        return [logged, elsewhere.write('last-taken', { pair: SECOND, last: lastOf(logged) })];
      }).then(scanned),
    says: /^Its last is in /,
    answers: [pressed('Another pair', ['clocked-in', 'last-taken'], CLOCKED_IN), onlyFound, leaves],
  },
};

async function scanned(bench: Bench): Promise<Bench> {
  bench.pass(1);
  await scan(bench, PAIR);
  return bench;
}

describe.each(Object.entries(QUESTIONS))('%s', (_ask, { arrange, says: line, answers }) => {
  test.each(answers)('$by', async ({ give, makes, shows }) => {
    const bench = await arrange();
    expect(says(bench)).toMatch(line);
    const before = await bench.kinds();
    await give(bench);
    expect((await bench.kinds()).slice(before.length)).toEqual(makes);
    expect(says(bench)).toMatch(shows);
  });

  test('every button has been tried', async () => {
    const bench = await arrange();
    const tried = new Set(answers.map(({ by }) => by));
    expect(buttons(bench).filter((label) => !tried.has(label))).toEqual([]);
  });

  test('an answer tapped twice at once is one answer', async () => {
    for (const { give, makes } of answers) {
      const bench = await arrange();
      const before = await bench.kinds();
      const labels = buttons(bench);
      const { by } = answers.find((answer) => answer.give === give) ?? { by: '' };
      if (!labels.includes(by)) continue;
      await Promise.allSettled([give(bench), press(bench, by)]);
      expect((await bench.kinds()).slice(before.length)).toEqual(makes);
    }
  });
});

describe('whose badge it is', () => {
  test('a hand who is no supervisor takes the bench over, and lets nothing through', async () => {
    const bench = await QUESTIONS['not-due'].arrange();
    await scan(bench, BADGE_OF_TOMASZ);
    expect(await bench.kinds()).toEqual(['badged-on', 'badged-off', 'badged-on']);
  });

  test('what only the supervisor says cannot be said without that badge', async () => {
    const bench = await QUESTIONS['not-due'].arrange();
    const acts = tapsOf(bench);
    acts.letThrough('I say so');
    acts.notNeeded(WLT);
    acts.needed();
    acts.machineBack(WLT);
    acts.release('I say so');
    await settled(bench);
    expect(await bench.kinds()).toEqual(['badged-on']);
  });

  test('the supervisor’s word carries the supervisor’s name, the work that of the hand', async () => {
    const bench = await QUESTIONS['not-due'].arrange();
    await scan(bench, BADGE_OF_RUTH);
    tapsOf(bench).letThrough('Looked at it: it is ready');
    await settled(bench);
    expect((await bench.made()).slice(-2)).toMatchObject([
      { kind: 'let-through', by: RUTH, past: 'not-due', stage: INT, why: 'Looked at it: it is ready' },
      { kind: 'clocked-in', by: INES },
    ]);
  });

  test('a word once said is not asked for again until the stage is done', async () => {
    const bench = await QUESTIONS['not-due'].arrange();
    await scan(bench, BADGE_OF_RUTH);
    tapsOf(bench).letThrough('Looked at it: it is ready');
    await settled(bench);
    await press(bench, 'Not finished');
    await scan(bench, PAIR);
    expect(says(bench)).toMatch(CLOCKED_IN);
  });

  test('the apprentice and the hand who answers stand in one commit, each under their name', async () => {
    const bench = await QUESTIONS['not-released'].arrange();
    const commits: string[][] = [];
    const commit = bench.ledger.commit.bind(bench.ledger);
    bench.ledger.commit = (drafts) => {
      commits.push(drafts.map(({ kind }) => kind));
      return commit(drafts);
    };
    await scan(bench, BADGE_OF_TOMASZ);
    expect(commits).toEqual([['clocked-in', 'hand-joined']]);
    const { spells } = await stateOf(bench);
    expect(spells.at(-1)).toMatchObject({ by: PIA, joined: [{ hand: TOMASZ, as: 'answers' }] });
  });

  test('another who is not released cannot answer, and a supervisor not for her own hands', async () => {
    const bench = await dueBench(WLT, undefined, { on: BADGE_OF_RUTH });
    await scan(bench, PAIR);
    await scan(bench, BADGE_OF_RUTH);
    expect(says(bench)).toBe('That is your own badge');
    await scan(bench, BADGE_OF_PIA);
    expect(await bench.kinds()).toEqual(['badged-on', 'badged-off', 'badged-on']);
    expect(openSpells(await stateOf(bench))).toEqual([]);
  });
});

describe('machines', () => {
  test('told out of use at another bench, in one pull with other work, it is known at the next scan', async () => {
    const bench = await dueBench();
    const there = handAt(LAYING, TOMASZ, AN_HOUR_AGO);
    await bench.pull(
      there.write('machine-stopped', { where: WELTING, stage: WLT, why: 'guard broken' }),
      there.write('found-here', { pair: SECOND }),
    );
    await scan(bench, PAIR);
    expect(says(bench)).toBe('This machine is out of use');
    await bench.pull(
      there.write('machine-back', { where: WELTING, stage: WLT }),
      there.write('found-here', { pair: SECOND }),
    );
    await press(bench, 'Leave it');
    await scan(bench, PAIR);
    expect(says(bench)).toMatch(CLOCKED_IN);
  });

  test('told here, once however often it is tapped, and then asked about', async () => {
    const bench = await dueBench();
    await scan(bench, PAIR);
    await press(bench, 'More');
    tapsOf(bench).choose({ is: 'machine' });
    await settled(bench);
    const acts = tapsOf(bench);
    acts.machineStopped('Guard broken or missing');
    acts.machineStopped('Guard broken or missing');
    await settled(bench);
    expect((await bench.kinds()).filter((kind) => kind === 'machine-stopped')).toHaveLength(1);
    expect(says(bench)).toBe('Out of use');
    await scan(bench, PAIR);
    await scan(bench, PAIR);
    expect(says(bench)).toMatch(/done already|out of use/);
    expect([...bench.app.view.outOfUse]).toEqual([[WLT, 'Guard broken or missing']]);
  });
});

describe('lasts', () => {
  const SLP = asStageCode('SLP');

  test('taken with the clock-in at re-lasting, freed when slipping is done, and both come back by undo', async () => {
    const lasting = await dueBench(LAS);
    await scan(lasting, PAIR);
    const last = '82 8 F';
    expect((await stateOf(lasting)).last).toBe(last);
    await press(lasting, 'Undo');
    expect((await stateOf(lasting)).last).toBeNull();

    const slipping = await dueBench(SLP);
    expect((await stateOf(slipping)).last).toBe(last);
    await scan(slipping, PAIR);
    expect((await stateOf(slipping)).last).toBe(last);
    await scan(slipping, PAIR);
    expect((await stateOf(slipping)).last).toBeNull();
    await press(slipping, 'Undo');
    expect((await stateOf(slipping)).last).toBe(last);
  });

  test('put down unfinished, slipping frees nothing', async () => {
    const bench = await dueBench(SLP);
    await scan(bench, PAIR);
    await press(bench, 'Not finished');
    expect((await stateOf(bench)).last).toBe('82 8 F');
  });

  test('re-lasting that nobody scanned has taken the last all the same', async () => {
    const bench = await fullBench();
    await bench.pull(...dueAt(LAS, bench.book, yesterday()));
    await scan(bench, PAIR);
    expect(says(bench)).toMatch(/^Not yet: no record of/);
    await press(bench, 'Done, not scanned');
    tapsOf(bench).late('The scan was forgotten');
    await settled(bench);
    expect(says(bench)).toMatch(CLOCKED_IN);
    expect((await stateOf(bench)).last).toBe('82 8 F');
  });
});

describe('one shoe', () => {
  const EST = asStageCode('EST');
  const BST = asStageCode('BST');

  test('sent back alone it is parted, its colour is to do again on both, and both meet at edge trimming', async () => {
    const bench = await dueBench(asStageCode('CHK'), undefined);
    await scan(bench, PAIR);
    await press(bench, 'Send back').catch(() => {});
    tapsOf(bench).choose({ is: 'send-back', shoe: 'left' });
    await settled(bench);
    tapsOf(bench).sendBack({ to: WLT, shoe: 'left', fault: null, reason: 'seam open', again: null });
    await settled(bench);
    expect(says(bench)).toBe('Left sent back to Welt sewing');
    const state = await stateOf(bench);
    expect(state.parted?.shoe).toBe('left');
    const again = new Map(state.sentBack[0]?.again.map(({ stage, shoe }) => [stage, shoe]));
    expect([again.get(EST), again.get(BST), again.get(asStageCode('STI'))]).toEqual(['both', 'both', 'left']);
    await press(bench, 'Undo');
    expect((await stateOf(bench)).parted).toBeNull();
  });

  test('sent back twice, it is parted once', async () => {
    const bench = await dueBench(INT, ({ elsewhere }) => [elsewhere.write('parted')]);
    await scan(bench, `${PAIR}L`);
    expect(says(bench)).toMatch(CLOCKED_IN);
    tapsOf(bench).sendBack({ to: WLT, shoe: 'left', fault: null, reason: 'seam open', again: null });
    await settled(bench);
    expect((await bench.kinds()).filter((kind) => kind === 'parted')).toEqual([]);
  });

  test('its tag clocks that shoe alone in and out, whatever the other is at', async () => {
    const bench = await dueBench(WLT, ({ elsewhere }) => [elsewhere.write('parted')]);
    await scan(bench, `${PAIR}R`);
    await scan(bench, `${PAIR}L`);
    expect(openSpells(await stateOf(bench)).map(({ shoe }) => shoe)).toEqual(['right', 'left']);
    await scan(bench, `${PAIR}R`);
    expect(openSpells(await stateOf(bench)).map(({ shoe }) => shoe)).toEqual(['left']);
    expect((await stateOf(bench)).flags).toEqual([]);
  });
});

describe('other ways', () => {
  test('the same hand goes on with the next stage by one touch', async () => {
    const bench = await fullBench({ stages: [WLT, INT] });
    await bench.pull(...dueAt(WLT, bench.book, yesterday()));
    await scan(bench, PAIR);
    await scan(bench, PAIR);
    await press(bench, 'On to inseam trimming');
    expect(says(bench)).toMatch(CLOCKED_IN);
    await scan(bench, PAIR);
    const { spells } = await stateOf(bench);
    expect(spells.slice(-2).map(({ stage, outcome }) => [stage, outcome])).toEqual([
      [WLT, 'done'],
      [INT, 'done'],
    ]);
    expect(buttons(bench)).not.toContain('On to inseam trimming');
  });

  test('while scans only find, nothing begins; the next hand who badges on begins work again', async () => {
    const bench = await dueBench();
    await press(bench, 'Just found');
    await scan(bench, PAIR);
    expect(says(bench)).toBe('Found here');
    expect((await bench.kinds()).at(-1)).toBe('found-here');
    await scan(bench, BADGE_OF_TOMASZ);
    await scan(bench, PAIR);
    expect((await bench.kinds()).at(-1)).toBe('clocked-in');
  });

  test('finding ends with the hand who began it, by the badge as by the hand-over', async () => {
    const bench = await dueBench();
    await press(bench, 'Just found');
    await scan(bench, BADGE_OF_INES);
    await scan(bench, BADGE_OF_INES);
    expect(buttons(bench)).toEqual(['Just found']);
    await scan(bench, PAIR);
    expect(says(bench)).toMatch(CLOCKED_IN);
  });

  test('a second hand joins by a badge, once, and never by one’s own', async () => {
    const bench = await dueBench();
    await scan(bench, PAIR);
    tapsOf(bench).choose({ is: 'second-hand' });
    await settled(bench);
    await scan(bench, BADGE_OF_INES);
    expect(says(bench)).toBe('That is your own badge');
    expect(bench.app.view.on?.id).toBe(INES);
    await scan(bench, BADGE_OF_TOMASZ);
    expect(says(bench)).toBe('Tomasz Lindqvist works on it too');
    await scan(bench, PAIR);
    const { spells, flags } = await stateOf(bench);
    expect(spells.at(-1)).toMatchObject({
      by: INES,
      joined: [{ hand: TOMASZ, as: 'beside' }],
      outcome: 'done',
    });
    expect(flags).toEqual([]);
  });
});
