import { describe, expect, test } from 'vitest';
import { foldPair } from '../../src/domain/fold/pair.ts';
import { openSpells } from '../../src/domain/fold/spells.ts';
import { barOf } from '../../src/tablet/app/bar.ts';
import { QUIET_MS } from '../../src/tablet/app/bench-app.ts';
import { OFFER_MS } from '../../src/tablet/app/card-bar.ts';
import { BADGE_OF_INES, BADGE_OF_TOMASZ, benchAt, SET_UP } from '../support/bench.ts';
import { handAt, INES, LAYING, PAIR, placed, seenUpTo, TOMASZ, WLT } from '../support/builders.ts';

type Bench = Awaited<ReturnType<typeof benchAt>>;

/** Another bench's records, as sync would bring them. */
async function pulled(bench: Bench, records: Parameters<typeof placed>[0]) {
  await bench.ledger.apply(
    placed(records).map(({ record, pos }) => ({ record, pos: pos ?? 0 })),
    seenUpTo(records.length),
  );
  await bench.app.settled();
}

const says = ({ app }: Bench) => barOf(app.view).line.says;
const buttons = ({ app }: Bench) => barOf(app.view).buttons.map(({ label }) => label);

async function readyWith(badge = BADGE_OF_INES) {
  const bench = await benchAt();
  await bench.app.scan(badge, 'wedge');
  await pulled(bench, [handAt(LAYING, null).write('pair-logged')]);
  return bench;
}

describe('the plain path', () => {
  test('nobody on: the bar asks for a badge, and a ticket is answered with «badge first»', async () => {
    const bench = await benchAt();
    expect(says(bench)).toBe('Scan your badge');
    await bench.app.scan(PAIR, 'camera');
    expect(says(bench)).toBe('Scan your badge first');
    expect(await bench.kinds()).toEqual([]);
  });

  test('badge, ticket, ticket: on, in and out, two scans and no tap for the pair', async () => {
    const bench = await readyWith();
    bench.pass(1);
    await bench.app.scan(PAIR, 'camera');
    expect(says(bench)).toMatch(/^Clocked in 08:0/);
    bench.pass(14);
    await bench.app.scan(PAIR, 'camera');
    expect(says(bench)).toMatch(/^Clocked out 08:1/);
    expect(barOf(bench.app.view).line.next).toContain('14 min');
    const [on, clockIn, clockOut] = await bench.made();
    expect(on).toMatchObject({ kind: 'badged-on', by: INES, seq: 1 });
    expect(clockIn).toMatchObject({
      kind: 'clocked-in',
      pair: PAIR,
      stage: WLT,
      by: INES,
      seq: 2,
      unknownPair: false,
    });
    expect(clockOut).toMatchObject({
      kind: 'clocked-out',
      of: clockIn?.id,
      outcome: 'done',
      by: INES,
      seq: 3,
    });
    expect(bench.app.view.doneThisShift).toBe(1);
    expect(bench.app.view.open).toEqual([]);
  });

  test('an unknown ticket is worked on and flagged', async () => {
    const bench = await benchAt();
    await bench.app.scan(BADGE_OF_INES, 'wedge');
    await bench.app.scan(PAIR, 'camera');
    expect((await bench.made()).at(-1)).toMatchObject({ kind: 'clocked-in', unknownPair: true });
  });

  test('an unknown badge is refused and says whom to ask', async () => {
    const bench = await benchAt(undefined, { badges: [] });
    await bench.app.scan(BADGE_OF_INES, 'wedge');
    expect(says(bench)).toBe('This badge is not known here');
    expect(barOf(bench.app.view).line.next).toContain('Ruth Adeyemi');
    expect(await bench.kinds()).toEqual([]);
  });

  test('the offers after a clock-out go after ten seconds, undo after a minute', async () => {
    const bench = await readyWith();
    await bench.app.scan(PAIR, 'camera');
    await bench.app.scan(PAIR, 'camera');
    expect(buttons(bench)).toEqual(['Not finished', 'Send back', 'More', 'Undo']);
    bench.pass(OFFER_MS / 60_000);
    bench.app.show({});
    expect(buttons(bench)).toEqual(['Undo', 'To the bench']);
    bench.pass(1);
    bench.app.show({});
    expect(buttons(bench)).toEqual(['To the bench']);
  });
});

describe('other endings', () => {
  test('undo of a clock-out leaves the pair clocked in, and the account whole', async () => {
    const bench = await readyWith();
    await bench.app.scan(PAIR, 'camera');
    await bench.app.scan(PAIR, 'camera');
    await bench.acts.end.undo();
    expect(await bench.kinds()).toEqual(['badged-on', 'clocked-in', 'clocked-out', 'voided']);
    expect(bench.app.view.open).toHaveLength(1);
    expect(bench.app.view.doneThisShift).toBe(0);
    await bench.app.scan(PAIR, 'camera');
    expect(says(bench)).toMatch(/^Clocked out/);
    expect(bench.app.view.open).toHaveLength(0);
  });

  test('undo of a clock-in leaves the pair as it was', async () => {
    const bench = await readyWith();
    await bench.app.scan(PAIR, 'camera');
    await bench.acts.end.undo();
    expect(bench.app.view.open).toEqual([]);
    const state = foldPair(PAIR, await bench.ledger.recordsOfPair(PAIR));
    expect(openSpells(state)).toEqual([]);
    expect(state.flags).toEqual([]);
  });

  test('«not finished» after a clock-out takes the done back and ends the spell unfinished', async () => {
    const bench = await readyWith();
    await bench.app.scan(PAIR, 'camera');
    await bench.app.scan(PAIR, 'camera');
    await bench.acts.end.notFinished();
    const state = foldPair(PAIR, await bench.ledger.recordsOfPair(PAIR));
    expect(state.spells.map(({ outcome }) => outcome)).toEqual(['not-finished']);
    expect(state.flags).toEqual([]);
    expect(bench.app.view.doneThisShift).toBe(0);
  });

  test('a finished pair that is set aside stays finished', async () => {
    const bench = await readyWith();
    await bench.app.scan(PAIR, 'camera');
    await bench.app.scan(PAIR, 'camera');
    await bench.acts.end.setAside('Still wet or setting');
    const state = foldPair(PAIR, await bench.ledger.recordsOfPair(PAIR));
    expect(state.spells.map(({ outcome }) => outcome)).toEqual(['done']);
    expect(state.setAside?.reason).toBe('Still wet or setting');
    expect(state.flags).toEqual([]);
  });

  test('a pair in work that is sent back ends unfinished here', async () => {
    const bench = await readyWith();
    await bench.app.scan(PAIR, 'camera');
    await bench.acts.end.sendBack({
      to: WLT,
      shoe: 'both',
      fault: null,
      reason: 'Not right for this stage',
      again: null,
    });
    const state = foldPair(PAIR, await bench.ledger.recordsOfPair(PAIR));
    expect(state.sentBack).toHaveLength(1);
    expect(openSpells(state)).toEqual([]);
    expect(bench.app.view.open).toEqual([]);
  });
});

describe('handing over', () => {
  test('the next badge takes the bench; the open pair stays open and stays with whom it was begun by', async () => {
    const bench = await readyWith();
    await bench.app.scan(PAIR, 'camera');
    await bench.app.scan(BADGE_OF_TOMASZ, 'wedge');
    expect(bench.app.view.on?.name).toBe('Tomasz Lindqvist');
    expect(bench.app.view.open).toMatchObject([{ pair: PAIR, by: INES }]);
    expect((await bench.made()).slice(-2)).toMatchObject([
      { kind: 'badged-off', by: INES, why: 'hand-over' },
      { kind: 'badged-on', by: TOMASZ },
    ]);
  });

  test('scanning a pair that another hand has open asks, and «finished» credits the one who did it', async () => {
    const bench = await readyWith();
    await bench.app.scan(PAIR, 'camera');
    await bench.app.scan(BADGE_OF_TOMASZ, 'wedge');
    await bench.app.scan(PAIR, 'camera');
    expect(says(bench)).toMatch(/^Ines Okafor has it open since/);
    await bench.acts.begin.answer('yes');
    const state = foldPair(PAIR, await bench.ledger.recordsOfPair(PAIR));
    expect(state.spells).toMatchObject([{ by: INES, outcome: 'done' }]);
    expect((await bench.made()).at(-1)).toMatchObject({ kind: 'clocked-out', by: TOMASZ });
  });

  test('«I take it on» ends the one spell unfinished and begins another', async () => {
    const bench = await readyWith();
    await bench.app.scan(PAIR, 'camera');
    await bench.app.scan(BADGE_OF_TOMASZ, 'wedge');
    await bench.app.scan(PAIR, 'camera');
    await bench.acts.begin.answer('take-on');
    const state = foldPair(PAIR, await bench.ledger.recordsOfPair(PAIR));
    expect(state.spells).toMatchObject([
      { by: INES, outcome: 'not-finished' },
      { by: TOMASZ, outcome: 'open' },
    ]);
    expect(state.flags).toEqual([]);
  });

  test('whoever has not scanned for an hour drops off; the pair stays open', async () => {
    const bench = await readyWith();
    await bench.app.scan(PAIR, 'camera');
    bench.pass(QUIET_MS / 60_000 + 1);
    bench.app.tick();
    await bench.app.settled();
    expect(bench.app.view.on).toBeNull();
    expect(bench.app.view.open).toHaveLength(1);
    expect((await bench.made()).at(-1)).toMatchObject({ kind: 'badged-off', why: 'quiet', by: INES });
  });
});

describe('notes and questions', () => {
  test('an unseen note comes first; one tap, and the pair is clocked in', async () => {
    const bench = await benchAt();
    await bench.app.scan(BADGE_OF_INES, 'wedge');
    const office = handAt(LAYING, null);
    const note = [office.write('pair-logged'), office.write('noted', { text: 'thin spot', seeAt: [WLT] })];
    await pulled(bench, note);
    await bench.app.scan(PAIR, 'camera');
    expect(says(bench)).toBe('One note to see first');
    expect(await bench.kinds()).toEqual(['badged-on']);
    await bench.acts.begin.seen(note[1]?.id ?? ('' as never));
    expect(await bench.kinds()).toEqual(['badged-on', 'note-seen', 'clocked-in']);
  });

  test('a note that comes in while the pair is worked is shown, and seeing it begins nothing anew', async () => {
    const bench = await readyWith();
    await bench.app.scan(PAIR, 'camera');
    const office = handAt(LAYING, null);
    const late = [office.write('pair-logged'), office.write('noted', { text: 'torn welt', seeAt: [WLT] })];
    await pulled(bench, late);
    expect(says(bench)).toBe('A note has come in');
    await bench.acts.begin.seen(late[1]?.id ?? ('' as never));
    expect(says(bench)).toMatch(/^Clocked in/);
    expect(await bench.kinds()).toEqual(['badged-on', 'clocked-in', 'note-seen']);
  });

  test('a new tablet that has not read everything in clocks no pair in: it may carry a note', async () => {
    const bench = await benchAt();
    await bench.ledger.remember({ readIn: false });
    await bench.app.settled();
    await bench.app.scan(BADGE_OF_INES, 'wedge');
    await bench.app.scan(PAIR, 'camera');
    expect(says(bench)).toBe('Still reading in the site’s pairs');
    expect(await bench.kinds()).toEqual(['badged-on']);
    await bench.ledger.remember({ readIn: true });
    await bench.app.settled();
    expect(says(bench)).toBe('Scan a ticket');
    await bench.app.scan(PAIR, 'camera');
    expect(await bench.kinds()).toEqual(['badged-on', 'clocked-in']);
  });

  test('a stop note blocks', async () => {
    const bench = await benchAt();
    await bench.app.scan(BADGE_OF_INES, 'wedge');
    const office = handAt(LAYING, null);
    await pulled(bench, [office.write('pair-logged'), office.write('noted', { weight: 'stop' })]);
    await bench.app.scan(PAIR, 'camera');
    expect(barOf(bench.app.view)).toMatchObject({ tone: 'stop', shape: 'octagon' });
    expect(await bench.kinds()).toEqual(['badged-on']);
  });

  test('a pair open at another bench is asked about, and both spells are kept', async () => {
    const bench = await readyWith();
    const elsewhere = handAt(LAYING, TOMASZ);
    await pulled(bench, [
      elsewhere.write('pair-logged'),
      elsewhere.write('clocked-in', { stage: 'LAY' as never }),
    ]);
    await bench.app.scan(PAIR, 'camera');
    expect(says(bench)).toMatch(/^Open at/);
    await bench.acts.begin.answer('yes');
    const state = foldPair(PAIR, await bench.ledger.recordsOfPair(PAIR));
    expect(openSpells(state)).toHaveLength(2);
    expect(state.flags.map(({ flag }) => flag)).toContain('open-at-two-benches');
  });
});

describe('when nothing can be recorded', () => {
  test('the bar says so, nothing is shown as made, and «try again» makes the same record', async () => {
    const bench = await readyWith();
    bench.ledger.trouble = 'full';
    await bench.app.scan(PAIR, 'camera');
    expect(says(bench)).toBe('Not recorded: the tablet is full');
    expect(bench.app.view.open).toEqual([]);
    expect(await bench.kinds()).toEqual(['badged-on']);
    bench.ledger.trouble = null;
    await bench.app.tap(() => bench.app.retry());
    expect(says(bench)).toMatch(/^Clocked in/);
    expect(await bench.kinds()).toEqual(['badged-on', 'clocked-in']);
  });

  test('the next scan tries again first, and is not itself taken while the store fails', async () => {
    const bench = await readyWith();
    bench.ledger.trouble = 'stuck';
    await bench.app.scan(PAIR, 'camera');
    await bench.app.scan(BADGE_OF_TOMASZ, 'wedge');
    expect(await bench.kinds()).toEqual(['badged-on']);
    bench.ledger.trouble = null;
    await bench.app.scan(BADGE_OF_TOMASZ, 'wedge');
    expect(await bench.kinds()).toEqual(['badged-on', 'clocked-in', 'badged-off', 'badged-on']);
  });

  test('a tap cannot push an unrecorded act aside', async () => {
    const bench = await readyWith();
    await bench.app.scan(PAIR, 'camera');
    bench.ledger.trouble = 'full';
    await bench.app.scan(PAIR, 'camera');
    await bench.acts.end.setAside('Waits for its last');
    expect(says(bench)).toBe('Not recorded: the tablet is full');
    bench.ledger.trouble = null;
    await bench.app.tap(() => bench.app.retry());
    expect(await bench.kinds()).toEqual(['badged-on', 'clocked-in', 'clocked-out']);
  });

  test('left unrecorded, the bench shows what is so', async () => {
    const bench = await readyWith();
    bench.ledger.trouble = 'stuck';
    await bench.app.scan(PAIR, 'camera');
    bench.ledger.trouble = null;
    await bench.app.tap(() => bench.app.forgetUnrecorded());
    expect(says(bench)).toBe('Scan a ticket');
    expect(await bench.kinds()).toEqual(['badged-on']);
  });
});

describe('two windows and set-up cards', () => {
  test('what another window hands over, this one books to the one who is on now', async () => {
    const bench = await readyWith();
    const there = await bench.window();
    await there.app.scan(BADGE_OF_TOMASZ, 'wedge');
    await bench.app.settled();
    expect(bench.app.view.on?.name).toBe('Tomasz Lindqvist');
    await bench.app.scan(PAIR, 'camera');
    expect((await bench.made()).at(-1)).toMatchObject({ kind: 'clocked-in', by: TOMASZ });
  });

  test('a set-up card scanned in the middle of work changes nothing', async () => {
    const bench = await readyWith();
    await bench.app.scan(PAIR, 'camera');
    await bench.app.scan(SET_UP, 'camera');
    expect(says(bench)).toBe('That is a set-up code');
    expect(bench.app.view.open).toHaveLength(1);
    expect(await bench.kinds()).toEqual(['badged-on', 'clocked-in']);
  });
});
