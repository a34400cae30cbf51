import { describe, expect, test } from 'vitest';
import { Slots } from '../../src/desk/desk-store.ts';
import { stagesProposed, triageOf, yesOf } from '../../src/desk/logging/decisions.ts';
import { draftKeeping } from '../../src/desk/logging/draft-keeping.ts';
import { LENGTHS, problemsOf, type Surroundings } from '../../src/desk/logging/draft-problems.ts';
import { loggingActs } from '../../src/desk/logging/logging-acts.ts';
import { asLine, EMPTY_DRAFT, type LoggingDraft } from '../../src/desk/logging/logging-draft.ts';
import { isDay, siteDay, usualPromise } from '../../src/desk/logging/promise.ts';
import { ticketPaperOf } from '../../src/desk/ticket-paper.ts';
import { issueTicket } from '../../src/domain/code.ts';
import { draft, type Making } from '../../src/domain/drafts.ts';
import { foldPair } from '../../src/domain/fold/pair.ts';
import { asRecordId, asStageCode } from '../../src/domain/ids.ts';
import { DAY_MS } from '../../src/domain/instant.ts';
import type { Job } from '../../src/domain/record/kinds.ts';
import { readRecord } from '../../src/domain/record/reading.ts';
import { leftOn, missingFor, wayOf } from '../../src/domain/way.ts';
import { problems as words } from '../../src/words/logging.ts';
import { DESK, fullBook, handAt, MONDAY_8, PAIR, RUTH, SITE, siteBook } from '../support/builders.ts';
import { oneShift } from '../support/shift.ts';

const BOOK = fullBook();
const AROUND: Surroundings = { book: BOOK, pairs: new Map(), today: '2026-11-02', usualDay: '2026-11-30' };
const SOUND = { sole: 'sound', welt: 'sound', heel: 'sound' } as const;
const PHOTO = { photo: 'a7'.repeat(32), bytes: 12_345, type: 'image/jpeg' } as const;

const DRAFT: LoggingDraft = {
  ...EMPTY_DRAFT,
  ownerRef: 'A-1042',
  style: 'brown derby',
  last: '82',
  size: '8',
  fitting: 'F',
  job: 'FB',
};
const note = (said: Partial<LoggingDraft['notes'][number]> = {}) => ({
  key: 1,
  shoe: 'left' as const,
  zone: 'bottom-tread-outside',
  side: null,
  defect: 'sole-hole',
  weight: 'ask' as const,
  text: '',
  ...said,
});

/** The records as the office would make them. */
function recordsOf(entered: LoggingDraft, around = AROUND) {
  let made = 0;
  const making: Making = {
    site: SITE,
    bench: DESK,
    by: RUTH,
    wall: { ms: MONDAY_8, offsetMs: 0, known: true },
    newId: () => {
      made += 1;
      return asRecordId(`019a4b2c-0000-7000-8000-${String(made).padStart(12, '0')}`);
    },
  };
  return loggingActs(entered, PAIR, around).map(({ kind, said }, index) => {
    const read = readRecord({ ...draft(making, kind, said as never), seq: index + 1, seen: '' });
    if (read.is !== 'record') throw new Error(`${kind} is no record: ${JSON.stringify(read)}`);
    return read.record;
  });
}
const stateOf = (entered: LoggingDraft, around = AROUND) =>
  foldPair(
    PAIR,
    recordsOf(entered, around).map((record) => ({ record, pos: null, epoch: null })),
  );

describe('from a draft to records', () => {
  test('a plain pair is one record, with the routes of today and the owner still to ask', () => {
    const records = recordsOf(DRAFT);
    expect(records).toMatchObject([
      {
        kind: 'pair-logged',
        pair: PAIR,
        job: 'FB',
        ownerRef: 'A-1042',
        promised: '2026-11-30',
        maker: null,
        asked: null,
        withPair: [],
        condition: null,
        route: 1,
        yes: 'to-ask',
        by: RUTH,
      },
    ]);
    expect(records).toHaveLength(1);
  });

  test('all of it comes back from the folded state', () => {
    const entered: LoggingDraft = {
      ...DRAFT,
      ownerRef: ' A-1042\t👞 שלום ',
      maker: 'Moor & Fell',
      asked: 'quiet heels',
      withPair: ['Laces', 'Schuhlöffel 🥄'],
      condition: { left: { ...SOUND, sole: 'through' }, right: { ...SOUND, welt: 'short-tear' } },
      notes: [note(), note({ key: 2, defect: null, zone: null, shoe: 'both', text: 'smells of the sea' })],
      photos: [PHOTO],
      promised: '2026-12-10',
      yes: 'given',
    };
    const state = stateOf(entered);
    expect(state.details).toMatchObject({
      ownerRef: 'A-1042 👞 שלום',
      maker: 'Moor & Fell',
      promised: '2026-12-10',
    });
    expect(state.logged).toMatchObject({
      withPair: ['Laces', 'Schuhlöffel 🥄'],
      condition: entered.condition,
    });
    expect(state.owner.is).toBe('given');
    expect(state.pictures).toMatchObject([PHOTO]);
    expect(state.notes.map(({ note: { text, defect, zone, shoe } }) => [text, defect, zone, shoe])).toEqual([
      ['Hole through the sole', 'sole-hole', 'bottom-tread-outside', 'left'],
      ['smells of the sea', null, null, 'both'],
    ]);
    expect(ticketPaperOf(state)).toMatchObject({
      pair: PAIR,
      last: '82',
      withThePair: entered.withPair,
      second: false,
    });
  });

  test('a note is shown and cured where the catalogue says, as far as the site does those stages', () => {
    const [, full] = recordsOf({ ...DRAFT, notes: [note()] });
    expect(full).toMatchObject({
      seeAt: ['TRI', 'PUL', 'RIB', 'CRK'].map(asStageCode),
      cureAt: ['PRP', 'LAY'],
    });
    const [, small] = recordsOf({ ...DRAFT, notes: [note()] }, { ...AROUND, book: siteBook() });
    expect(small).toMatchObject({ seeAt: [], cureAt: ['LAY'] });
  });

  test('added words follow the catalogue’s', () => {
    const [, noted] = recordsOf({ ...DRAFT, notes: [note({ text: ' as large as a coin ' })] });
    expect(noted).toMatchObject({ text: 'Hole through the sole: as large as a coin' });
  });

  test('what is found asks for stages that the job does not always take, but not for one that was unticked', () => {
    const lining = note({ defect: 'lining-vamp', zone: 'inside-forepart-lining' });
    const heels: LoggingDraft = { ...DRAFT, job: 'HF', notes: [lining] };
    const proposed = stagesProposed('HF', triageOf(heels), BOOK);
    expect(proposed).toContain('CLO');
    expect(stateOf(heels).asked).toEqual(proposed);
    expect(stateOf({ ...heels, stagesLeft: [asStageCode('CLO')] }).asked).not.toContain('CLO');
  });

  test.each<[Job, LoggingDraft['yes'], boolean]>([
    ['FB', null, true],
    ['FB', 'given', false],
    ['FB', 'not-wanted', false],
    ['HL', 'to-ask', true],
    ['HL', null, false],
  ])('a job %s with the yes %s waits for the owner: %s', (job, yes, waits) => {
    const way = wayOf(stateOf({ ...DRAFT, job, yes }), BOOK);
    if (way === null) throw new Error('no way');
    // Stripping down stands on the owner's yes: src/domain/catalogue/precedence.ts.
    expect(missingFor(way, asStageCode('PUL')).includes(asStageCode('OWN'))).toBe(waits);
    expect(leftOn(way).includes(asStageCode('OWN'))).toBe(waits);
  });

  test('a heel does without the owner’s yes unless what was found asks the owner', () => {
    const heel = { yes: null, job: 'HL' } as const;
    expect(yesOf(heel, null)).toBe('not-wanted');
    const asks = triageOf({
      ...DRAFT,
      notes: [note({ defect: 'edge-rough', zone: 'edge-toe', weight: 'ask' })],
    });
    expect(yesOf(heel, asks)).toBe('to-ask');
    expect(yesOf({ ...heel, yes: 'not-wanted' }, asks)).toBe('not-wanted');
  });

  test('a draft with problems is refused', () => {
    expect(() => loggingActs({ ...DRAFT, job: null }, PAIR, AROUND)).toThrow(RangeError);
    expect(() => loggingActs(DRAFT, PAIR, { ...AROUND, usualDay: null })).toThrow(RangeError);
  });
});

describe('what keeps a draft from being logged in', () => {
  const problems = (said: Partial<LoggingDraft>, around: Partial<Surroundings> = {}) =>
    problemsOf({ ...DRAFT, ...said }, { ...AROUND, ...around });

  test('nothing, where all that must be there is there', () => {
    expect(problems({})).toEqual({});
  });

  test('an empty page is told what is missing', () => {
    const found = problemsOf(EMPTY_DRAFT, { ...AROUND, usualDay: null });
    expect(Object.keys(found).sort()).toEqual(['fitting', 'job', 'last', 'ownerRef', 'size', 'style']);
  });

  test.each(Object.entries(LENGTHS))('%s is taken at %s characters and refused above', (field, most) => {
    expect(problems({ [field]: 'x'.repeat(most) })).toEqual({});
    expect(recordsOf({ ...DRAFT, [field]: 'x'.repeat(most) })).toHaveLength(1);
    expect(problems({ [field]: 'x'.repeat(most + 1) })).toEqual({ [field]: words.tooLong(most) });
  });

  test('blanks, control characters and half an emoji are nothing', () => {
    expect(asLine(' \t\u0000\u2028\ud83d ')).toBe('');
    expect(problems({ style: '\ud83d ' })).toEqual({ style: words.missing });
  });

  test('a day in the past has to be said to be meant, that very day', () => {
    const past = { promised: '2026-11-01' };
    expect(problems(past)).toEqual({ promised: words.past('2026-11-01') });
    expect(problems({ ...past, pastMeant: '2026-11-01' })).toEqual({});
    expect(problems({ ...past, pastMeant: '2026-10-31' })).toHaveProperty('promised');
    expect(problems({ promised: '2026-11-02' })).toEqual({});
    expect(problems({ promised: '2027-02-30' })).toEqual({ promised: words.noDay });
    expect(problems({ promised: '' })).toEqual({ promised: words.noDay });
  });

  test('how worn the shoes are is said of both or of none', () => {
    const none = EMPTY_DRAFT.condition.left;
    expect(problems({ condition: { left: SOUND, right: none } })).toEqual({ condition: words.conditionHalf });
    expect(problems({ condition: { left: SOUND, right: SOUND } })).toEqual({});
  });

  test('a ticket in hand has to be a ticket that no pair has', () => {
    const pair = issueTicket(3, 9).pair;
    expect(problems({ ticket: ` ${pair.slice(0, 4).toLowerCase()} ${pair.slice(4)}` })).toEqual({});
    expect(problems({ ticket: 'P7K4292X' })).toEqual({ ticket: words.ticketNone });
    expect(problems({ ticket: `${pair}L` })).toEqual({ ticket: words.ticketTag });
    const logged = handAt(DESK).write('pair-logged', { pair });
    const pairs = new Map([[pair, foldPair(pair, [{ record: logged, pos: null, epoch: null }])]]);
    expect(problems({ ticket: pair }, { pairs })).toEqual({ ticket: words.ticketLogged });
    const unlogged = handAt(DESK).write('clocked-in', { pair });
    const scanned = new Map([[pair, foldPair(pair, [{ record: unlogged, pos: null, epoch: null }])]]);
    expect(problems({ ticket: pair }, { pairs: scanned })).toEqual({});
  });

  test('too many things, and a note without words', () => {
    expect(problems({ withPair: Array.from({ length: 13 }, (_, index) => `thing ${index}`) })).toHaveProperty(
      'withPair',
    );
    expect(problems({ notes: [note({ defect: null, text: ' ' })] })).toEqual({ notes: words.noteNoWords(1) });
    expect(problems({ notes: [note({ text: 'x'.repeat(190) })] })).toEqual({ notes: words.tooLong(200) });
  });
});

describe('the day that is usually promised', () => {
  const shiftsOn = (...days: readonly number[]) =>
    days.map((day) => oneShift('Day', MONDAY_8 + day * DAY_MS, MONDAY_8 + day * DAY_MS + 1));
  const states = (lengths: readonly number[], job: Job = 'FB') =>
    lengths.map((days, index) => {
      const at = MONDAY_8 - (index + 1) * DAY_MS;
      const pair = issueTicket(1, index * 3).pair;
      const promised = siteDay(at + days * DAY_MS, 'Europe/London');
      const logged = handAt(DESK).write('pair-logged', { pair, job, at, promised });
      return foldPair(pair, [{ record: logged, pos: null, epoch: null }]);
    });
  const usual = (lengths: readonly number[], shifts = shiftsOn(0, 1, 2, 3, 4)) =>
    usualPromise(states(lengths), { timeZone: 'Europe/London', shifts }, 'FB', '2026-11-02');

  test('is four weeks where nothing was promised yet', () => {
    expect(usual([])).toEqual({ day: '2026-11-30', daysAhead: 28 });
  });

  test('is the middle of what was promised for the same job', () => {
    expect(usual([21, 35, 21, 90, 22]).daysAhead).toBe(22);
    expect(
      usualPromise(states([7], 'HL'), { timeZone: 'Europe/London', shifts: [] }, 'FB', '2026-11-02')
        .daysAhead,
    ).toBe(28);
  });

  test('is moved to a weekday that is worked', () => {
    // 2026-11-07 is a Saturday: the Gregorian calendar.
    expect(usual([5]).day).toBe('2026-11-09');
    expect(usual([5], [])).toEqual({ day: '2026-11-07', daysAhead: 5 });
  });

  test('is a day on the site’s clock, whatever the machine’s', () => {
    // 23:30Z is the next day in Kolkata (UTC+5:30): IANA time zone database.
    expect(siteDay(Date.parse('2026-11-02T23:30Z'), 'Asia/Kolkata')).toBe('2026-11-03');
    expect(siteDay(Date.parse('2026-11-02T23:30Z'), 'Europe/London')).toBe('2026-11-02');
  });

  test.each([
    ['2028-02-29', true],
    ['2026-02-29', false],
    ['2026-2-1', false],
    ['', false],
  ])('%s is a day: %s', (text, is) => {
    expect(isDay(text)).toBe(is);
  });
});

describe('the keeping of a draft', () => {
  function memory() {
    const held = new Map<string, string>();
    const storage = {
      getItem: (slot: string) => held.get(slot) ?? null,
      setItem: (slot: string, text: string) => void held.set(slot, text),
      removeItem: (slot: string) => void held.delete(slot),
    };
    return { held, keeping: draftKeeping(new Slots(() => storage)) };
  }
  const WHOLE: LoggingDraft = {
    ...DRAFT,
    ownerRef: 'A-1042 👞 שלום',
    notes: [note({ text: 'صغير' })],
    photos: [PHOTO],
    issued: PAIR,
  };

  test('brings it back as it was entered', () => {
    const { keeping } = memory();
    expect(keeping.read()).toEqual(EMPTY_DRAFT);
    expect(keeping.keep(WHOLE)).toBe(true);
    expect(keeping.read()).toEqual(WHOLE);
    keeping.forget();
    expect(keeping.read()).toEqual(EMPTY_DRAFT);
  });

  test('leaves nothing behind for an empty page', () => {
    const { held, keeping } = memory();
    keeping.keep(WHOLE);
    keeping.keep(EMPTY_DRAFT);
    expect(held.size).toBe(0);
  });

  test('believes nothing that is no draft', () => {
    const { held, keeping } = memory();
    keeping.keep(WHOLE);
    const [slot = ''] = held.keys();
    held.set(slot, JSON.stringify({ ...WHOLE, job: 'XX' }));
    expect(keeping.read()).toEqual(EMPTY_DRAFT);
  });

  test('says when a browser keeps nothing', () => {
    const forbidden = draftKeeping(
      new Slots(() => {
        throw new DOMException('denied', 'SecurityError');
      }),
    );
    expect(forbidden.keep(WHOLE)).toBe(false);
    expect(forbidden.read()).toEqual(EMPTY_DRAFT);
  });
});
