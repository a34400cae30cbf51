/** Notes at a bench: made, seen, cured and released; and the reminders before a machine runs. */
import { describe, expect, test } from 'vitest';
import { DEFECTS } from '../../src/domain/catalogue/defects.ts';
import { stagesOfJob } from '../../src/domain/catalogue/jobs.ts';
import { openSpells } from '../../src/domain/fold/spells.ts';
import { asStageCode } from '../../src/domain/ids.ts';
import type { NewNote } from '../../src/tablet/app/acts.ts';
import { barOf } from '../../src/tablet/app/bar.ts';
import { unseenNotes } from '../../src/tablet/app/bar-parts.ts';
import {
  BADGE_OF_RUTH,
  BADGE_OF_TOMASZ,
  type Bench,
  buttons,
  dueAt,
  fullBench,
  press,
  SECOND,
  says,
  scan,
  settled,
  stateOf,
  yesterday,
} from '../support/bench.ts';
import { tapsOf } from '../support/bench-taps.ts';
import { handAt, INES, LAYING, PAIR, RUTH, TOMASZ, type Told, WLT } from '../support/builders.ts';

async function inWork(told: Told<'pair-logged'> = {}): Promise<Bench> {
  const bench = await fullBench();
  await bench.pull(...dueAt(WLT, bench.book, yesterday(), told));
  await scan(bench, PAIR);
  expect(says(bench)).toMatch(/^Clocked in/);
  return bench;
}

async function tap(bench: Bench, act: (taps: ReturnType<typeof tapsOf>) => void) {
  act(tapsOf(bench));
  await settled(bench);
}

const A_NOTE: NewNote = {
  shoe: 'left',
  zone: 'opened-rib',
  side: null,
  defect: null,
  weight: 'mind',
  text: 'look here',
  seeAt: [],
  cureAt: [],
};

const made = (bench: Bench, since: number) => bench.kinds().then((kinds) => kinds.slice(since));

/** A note as it is placed: *Add a note*, the place, what it is. Two of the three taps reach the app. */
async function place(bench: Bench, note: Partial<NewNote>) {
  await press(bench, 'Add a note');
  expect(says(bench)).toBe('Where is it?');
  await tap(bench, (acts) => acts.note({ ...A_NOTE, ...note }));
}

describe('made here', () => {
  test.each([
    { raises: 'nothing', note: { weight: 'mind' }, kinds: ['noted', 'note-seen'], line: /^Noted$/ },
    {
      raises: 'nothing, since the way cures it',
      note: { weight: 'ask', cureAt: [asStageCode('SHK')] },
      kinds: ['noted', 'note-seen'],
      line: /^Noted$/,
    },
    {
      raises: 'a stage that the job takes only if needed',
      note: { weight: 'ask', cureAt: [asStageCode('CLO')] },
      kinds: ['noted', 'stage-asked', 'note-seen'],
      line: /^Noted, and the stage is asked for$/,
    },
    {
      raises: 'the owner, since nothing cures it',
      note: { weight: 'ask', cureAt: [] },
      kinds: ['noted', 'owner-asked', 'note-seen'],
      line: /^Noted, and the owner is asked$/,
    },
    {
      raises: 'a stop, and the owner',
      note: { weight: 'stop', cureAt: [] },
      kinds: ['noted', 'owner-asked', 'note-seen'],
      line: /^Noted. Nobody works this pair now$/,
    },
  ] as const)(
    'it raises $raises, in one commit, and its author has seen it',
    async ({ note, kinds, line }) => {
      const bench = await inWork();
      const before = (await bench.kinds()).length;
      await place(bench, note);
      expect(await made(bench, before)).toEqual(kinds);
      expect(says(bench)).toMatch(line);
      const { screen } = bench.app.view;
      if (screen.is !== 'card') throw new Error('the card has gone');
      expect(unseenNotes(screen.card, INES)).toEqual([]);
    },
  );

  test('what is raised names the note that raised it', async () => {
    const bench = await inWork();
    await place(bench, { weight: 'ask', cureAt: [] });
    const records = await bench.made();
    const note = records.find(({ kind }) => kind === 'noted');
    expect(records.find(({ kind }) => kind === 'owner-asked')).toMatchObject({
      note: note?.id,
      why: 'look here',
    });
    expect((await stateOf(bench)).owner.is).toBe('asked');
  });

  test('every defect of the catalogue can be noted in each of its weights, and none leaves a flag', async () => {
    for (const { id, weights, seeAt, cureAt, name } of DEFECTS) {
      for (const weight of weights) {
        const bench = await inWork();
        await place(bench, { defect: id, weight, seeAt, cureAt, text: name });
        const state = await stateOf(bench);
        expect(state.notes).toHaveLength(1);
        expect(state.flags).toEqual([]);
      }
    }
  }, 30_000);

  test('tapped twice it is one note', async () => {
    const bench = await inWork();
    await press(bench, 'Add a note');
    await tap(bench, (acts) => {
      acts.note(A_NOTE);
      acts.note(A_NOTE);
    });
    expect((await stateOf(bench)).notes).toHaveLength(1);
  });

  test('after it the pair is clocked out by its scan as ever; after a stop it is not', async () => {
    const mind = await inWork();
    await place(mind, { weight: 'mind' });
    await scan(mind, PAIR);
    expect(says(mind)).toMatch(/^Clocked out/);
    const stop = await inWork();
    await place(stop, { weight: 'stop' });
    await scan(stop, PAIR);
    expect(says(stop)).toBe('Stop. A note has come in');
    expect(openSpells(await stateOf(stop))).toHaveLength(1);
    await press(stop, 'Not finished');
    await scan(stop, PAIR);
    expect(says(stop)).toMatch(/^(Stop|It waits for the owner)/);
  });

  test('a photograph taken next belongs to the note; of another pair, to none', async () => {
    const bench = await inWork();
    await bench.pull(...dueAt(WLT, bench.book, yesterday2(), { pair: SECOND, last: '83' }));
    await place(bench, { weight: 'mind' });
    const keep = async () => ({ is: 'kept', photo: 'a'.repeat(64), bytes: 9, type: 'image/webp' }) as const;
    await (await bench.acts.later()).notes.picture(new Blob(['x']), keep);
    const note = (await stateOf(bench)).notes[0]?.note.id;
    expect((await stateOf(bench)).pictures).toMatchObject([{ note }]);
    await scan(bench, SECOND);
    await (await bench.acts.later()).notes.picture(new Blob(['x']), keep);
    expect((await stateOf(bench, SECOND)).pictures).toMatchObject([{ note: null }]);
  });

  test('a photograph names no note that was left unrecorded', async () => {
    const bench = await inWork();
    await press(bench, 'Add a note');
    bench.ledger.trouble = 'full';
    await tap(bench, (acts) => acts.note(A_NOTE));
    bench.ledger.trouble = null;
    await press(bench, 'Leave it unrecorded');
    await tap(bench, (acts) => acts.openPair(PAIR));
    const keep = async () => ({ is: 'kept', photo: 'a'.repeat(64), bytes: 9, type: 'image/webp' }) as const;
    await (await bench.acts.later()).notes.picture(new Blob(['x']), keep);
    expect((await stateOf(bench)).pictures).toMatchObject([{ note: null }]);
  });

  test('a photograph that cannot be kept makes no record, and says so', async () => {
    const bench = await inWork();
    const before = (await bench.kinds()).length;
    await (await bench.acts.later()).notes.picture(new Blob(['x']), async () => ({ is: 'not-kept' }));
    expect(says(bench)).toBe('The tablet could not keep it');
    expect(await made(bench, before)).toEqual([]);
    await press(bench, 'Go on');
    expect(says(bench)).toMatch(/^Clocked in/);
  });

  function yesterday2() {
    const { office, elsewhere } = yesterday();
    // Beyond what the first pair has used of each bench’s numbers.
    office.write('found-here', { seq: 500 });
    elsewhere.write('found-here', { seq: 500 });
    return { office, elsewhere };
  }
});

describe('cured', () => {
  test('at a stage that can, once however often it is tapped', async () => {
    const bench = await fullBench();
    const way = yesterday();
    const note = way.elsewhere.write('noted', { weight: 'mend', seeAt: [WLT], cureAt: [WLT] });
    await bench.pull(...dueAt(WLT, bench.book, way), note);
    await scan(bench, PAIR);
    await tap(bench, (acts) => acts.seen(note.id));
    await tap(bench, (acts) => {
      acts.cured(note.id);
      acts.cured(note.id);
    });
    await tap(bench, (acts) => acts.cured(note.id));
    expect((await bench.kinds()).filter((kind) => kind === 'note-cured')).toHaveLength(1);
    expect(says(bench)).toBe('Cured');
    expect((await stateOf(bench)).notes[0]?.cured?.stage).toBe(WLT);
    await scan(bench, PAIR);
    expect(says(bench)).toMatch(/^Clocked out/);
  });
});

describe('stopped', () => {
  async function stopped() {
    const bench = await fullBench();
    const way = yesterday();
    const note = way.elsewhere.write('noted', { weight: 'stop', seeAt: [asStageCode('RIB')] });
    await bench.pull(...dueAt(WLT, bench.book, way), note);
    await scan(bench, PAIR);
    expect(says(bench)).toBe('Stop. Do not work this pair');
    return { bench, note };
  }

  test('a supervisor’s badge and a reason release it, and the reason is in the record', async () => {
    const { bench, note } = await stopped();
    await scan(bench, BADGE_OF_RUTH);
    expect(says(bench)).toBe('Ruth Adeyemi: release the stop?');
    await tap(bench, (acts) => acts.release('The owner knows and agrees'));
    const [released, clockIn] = (await bench.made()).slice(-2);
    expect(released).toMatchObject({
      kind: 'note-released',
      note: note.id,
      by: RUTH,
      why: 'The owner knows and agrees',
    });
    expect(clockIn).toMatchObject({ kind: 'clocked-in', by: INES });
  });

  test('no tap and no other badge releases it', async () => {
    const { bench } = await stopped();
    await tap(bench, (acts) => {
      acts.release('I say so');
      acts.answer('yes');
      acts.finish();
      acts.nextStage();
      acts.letThrough('I say so');
    });
    await scan(bench, BADGE_OF_TOMASZ);
    await scan(bench, PAIR);
    expect(says(bench)).toBe('Stop. Do not work this pair');
    const kinds = await bench.kinds();
    expect(kinds).not.toContain('note-released');
    expect(kinds).not.toContain('clocked-in');
  });

  test('the supervisor steps back: nothing is released', async () => {
    const { bench } = await stopped();
    await scan(bench, BADGE_OF_RUTH);
    await press(bench, 'Back');
    expect(says(bench)).toBe('Stop. Do not work this pair');
    expect(await bench.kinds()).not.toContain('note-released');
  });
});

describe('while the pair is worked', () => {
  const there = () => handAt(LAYING, TOMASZ);

  test('a stop note turns the bar, and neither the scan nor a tap clocks out', async () => {
    const bench = await inWork();
    const clockOut = { finish: tapsOf(bench).finish };
    await bench.pull(there().write('noted', { weight: 'stop', seeAt: [asStageCode('RIB')] }));
    expect(barOf(bench.app.view)).toMatchObject({ tone: 'stop', shape: 'octagon' });
    expect(buttons(bench)).not.toContain('Clock out');
    clockOut.finish();
    await settled(bench);
    await scan(bench, PAIR);
    expect(openSpells(await stateOf(bench))).toHaveLength(1);
    expect(says(bench)).toBe('Stop. A note has come in');
  });

  test('«Clock out» tapped while the stop note lies in the store, not told yet, does not clock out', async () => {
    const bench = await inWork();
    await tap(bench, (acts) => acts.leave());
    await tap(bench, (acts) => acts.openPair(PAIR));
    const applying = bench.pull(there().write('noted', { weight: 'stop', seeAt: [asStageCode('RIB')] }));
    tapsOf(bench).finish();
    await applying;
    expect(openSpells(await stateOf(bench))).toHaveLength(1);
    expect(barOf(bench.app.view).tone).toBe('stop');
  });

  test('a stop takes the place of whatever is being chosen', async () => {
    const bench = await inWork();
    await press(bench, 'More');
    await bench.pull(there().write('noted', { weight: 'stop', seeAt: [asStageCode('RIB')] }));
    expect(says(bench)).toBe('Stop. A note has come in');
  });

  test('a hint does not hide a stop that has come in', async () => {
    const bench = await inWork();
    await scan(bench, 'https://example.org', 'camera');
    expect(says(bench)).toBe('That is no code of ours');
    await bench.pull(there().write('noted', { weight: 'stop', seeAt: [asStageCode('RIB')] }));
    expect(says(bench)).toBe('Stop. A note has come in');
  });

  test('a clock-out that could not be recorded is not made past a stop that has come in since', async () => {
    const bench = await inWork();
    bench.ledger.trouble = 'full';
    await scan(bench, PAIR);
    await bench.pull(there().write('noted', { weight: 'stop' }));
    bench.ledger.trouble = null;
    await press(bench, 'Try again');
    expect(openSpells(await stateOf(bench))).toHaveLength(1);
    expect(says(bench)).toBe('Stop. A note has come in');
  });
});

describe('reminders', () => {
  const looks = async (bench: Bench) => {
    expect(says(bench)).toBe('Before you start');
    await press(bench, 'Looked');
  };
  const due = async () => {
    const bench = await fullBench({ reminds: true });
    const way = yesterday();
    await bench.pull(
      ...dueAt(WLT, bench.book, way),
      ...dueAt(WLT, bench.book, way, { pair: SECOND, last: '83' }),
    );
    return bench;
  };

  test('once a day for a hand and a stage, and again for the next hand', async () => {
    const bench = await due();
    await scan(bench, PAIR);
    await looks(bench);
    expect(says(bench)).toMatch(/^Clocked in/);
    await scan(bench, PAIR);
    await scan(bench, SECOND);
    expect(says(bench)).toMatch(/^Clocked in/);
    await scan(bench, SECOND);
    await scan(bench, BADGE_OF_TOMASZ);
    await scan(bench, PAIR);
    await press(bench, 'Do it again');
    await looks(bench);
    expect((await bench.made()).filter(({ kind }) => kind === 'reminders-shown').map(({ by }) => by)).toEqual(
      [INES, TOMASZ],
    );
  });

  test('the next day they are shown again, by the site’s own calendar', async () => {
    const bench = await due();
    await scan(bench, PAIR);
    await looks(bench);
    await scan(bench, PAIR);
    bench.pass(15 * 60 + 59);
    await scan(bench, SECOND);
    expect(says(bench)).toMatch(/^Clocked in/);
    await press(bench, 'Undo');
    bench.pass(2);
    await scan(bench, SECOND);
    await looks(bench);
  });

  test('once reworded they are shown again the same day', async () => {
    const bench = await due();
    await scan(bench, PAIR);
    await looks(bench);
    await scan(bench, PAIR);
    await bench.ledger.remember({ book: { ...bench.book, reminders: { version: 1, wordings: [] } } });
    await settled(bench);
    await scan(bench, SECOND);
    await looks(bench);
    expect((await bench.made()).findLast(({ kind }) => kind === 'reminders-shown')).toMatchObject({
      wording: 1,
    });
  });

  test('left without a look, nothing is recorded and they are shown again', async () => {
    const bench = await due();
    await scan(bench, PAIR);
    await press(bench, 'Not this pair');
    expect(await bench.kinds()).toEqual(['badged-on']);
    await scan(bench, PAIR);
    await looks(bench);
  });

  test('a look that could not be recorded, tried again past a stop note, does not clock in', async () => {
    const bench = await due();
    await scan(bench, PAIR);
    bench.ledger.trouble = 'full';
    await press(bench, 'Looked');
    await bench.pull(handAt(LAYING, TOMASZ).write('noted', { weight: 'stop' }));
    bench.ledger.trouble = null;
    await press(bench, 'Try again');
    expect(says(bench)).toBe('Stop. Do not work this pair');
    expect(await bench.kinds()).toEqual(['badged-on', 'reminders-shown']);
  });

  test('tapped twice, looked once', async () => {
    const bench = await due();
    await scan(bench, PAIR);
    await tap(bench, (acts) => {
      acts.looked();
      acts.looked();
    });
    expect(await bench.kinds()).toEqual(['badged-on', 'reminders-shown', 'clocked-in']);
  });
});

describe('how much it costs', () => {
  /** Scans and taps from the ticket in hand to the ticket put down. */
  async function cost(bench: Bench, unseen: readonly Parameters<Bench['acts']['begin']['seen']>[0][] = []) {
    let scans = 0;
    let taps = 0;
    const scanned = async () => {
      scans += 1;
      await scan(bench, PAIR);
    };
    await scanned();
    if (says(bench) === 'Before you start') {
      taps += 1;
      await press(bench, 'Looked');
    }
    for (const note of unseen) {
      taps += 1;
      await tap(bench, (acts) => acts.seen(note));
    }
    expect(says(bench)).toMatch(/^Clocked in/);
    await scanned();
    expect(says(bench)).toMatch(/^Clocked out/);
    return { scans, taps };
  }

  test.each([
    { reminds: false, notes: 0, scans: 2, taps: 0 },
    { reminds: true, notes: 0, scans: 2, taps: 1 },
    { reminds: false, notes: 1, scans: 2, taps: 1 },
    { reminds: false, notes: 3, scans: 2, taps: 3 },
    { reminds: true, notes: 2, scans: 2, taps: 3 },
  ])(
    'reminders $reminds, $notes notes: $scans scans, $taps taps',
    async ({ reminds, notes, scans, taps }) => {
      const bench = await fullBench({ reminds });
      const way = yesterday();
      const noted = Array.from({ length: notes }, () => way.elsewhere.write('noted', { seeAt: [WLT] }));
      await bench.pull(...dueAt(WLT, bench.book, way), ...noted);
      expect(
        await cost(
          bench,
          noted.map(({ id }) => id),
        ),
      ).toEqual({ scans, taps });
    },
  );

  test('at every stage of a full rebuild that does not end with questions, two scans and no tap', async () => {
    const { book } = await fullBench();
    const { owner, check, box } = book.ways;
    const plain = stagesOfJob('FB', 'always').filter((stage) => ![owner, check, box].includes(stage));
    expect(plain.length).toBeGreaterThan(35);
    for (const stage of plain) {
      const bench = await fullBench({ stages: [stage] });
      await bench.pull(...dueAt(stage, book, yesterday()));
      expect({ stage, ...(await cost(bench)) }).toEqual({ stage, scans: 2, taps: 0 });
    }
  }, 30_000);
});
