/** What the office says to an owner: whole answers, each beside the records that lead to it. */
import { describe, expect, test } from 'vitest';
import { asPairId, asStageCode } from '../../src/domain/ids.ts';
import { DAY_MS, HOUR_MS, type Instant, MINUTE_MS } from '../../src/domain/instant.ts';
import { type LedgerRecord, recordSchema } from '../../src/domain/record/kinds.ts';
import { ALONE, type Around, whereaboutsOf } from '../../src/domain/whereabouts.ts';
import { recordLine } from '../../src/words/whereabouts-account.ts';
import { ownerSentences } from '../../src/words/whereabouts-sentence.ts';
import {
  DESK,
  DSP,
  fullBook,
  handAt,
  INES,
  LAY,
  MONDAY_8,
  RUTH,
  stateAfter,
  WELTING,
} from '../support/builders.ts';
import { RECORD_SAMPLES } from './record-samples.ts';

const BOOK = fullBook();
const FIRST = 'REC TRI CLN PUL RIB FND LAS WRP WLT INT BEA SEA SHK CRK PRP LAY RND STI SNA LEV';
const LAST = 'SLP HBL HAT TOP BRS SC1 SC2 ETR EST WAX EPL BSC BST DET UCL UPL CHK SOK LAC BOX';
/** Tuesday 3 November 2026, ten in the morning. */
const TUESDAY_10 = MONDAY_8 + DAY_MS + 2 * HOUR_MS;

const office = () => handAt(DESK, RUTH);

/** Logged on Monday, and every stage before `stage` done in turn, the last of them ending at `endsAt`. */
function upTo(stage: string | null, endsAt: Instant = TUESDAY_10, told: object = {}) {
  const all = `${FIRST} ${LAST}`.split(' ');
  const stages = stage === null ? all : all.slice(0, all.indexOf(stage));
  const bench = handAt(WELTING, INES);
  const records: LedgerRecord[] = [office().write('pair-logged', { yes: 'given', ...told })];
  stages.forEach((one, index) => {
    const at = endsAt - (stages.length - index) * MINUTE_MS;
    const began = bench.write('clocked-in', { stage: asStageCode(one), at });
    records.push(began, bench.write('clocked-out', { stage: began.stage, of: began.id, at: at + MINUTE_MS }));
  });
  return { bench, records };
}

function said(
  records: readonly LedgerRecord[],
  now: Instant,
  around: Around = ALONE,
  heard: Instant | null = now,
) {
  const where = whereaboutsOf(stateAfter(...records), BOOK, now, around);
  return ownerSentences(where, { book: BOOK, now, upTo: heard }).join(' ');
}

const PROMISED = 'They are promised for 10 December.';

describe('what is said to the owner', () => {
  test('at work', () => {
    const { bench, records } = upTo('STI');
    const began = bench.write('clocked-in', { stage: asStageCode('STI'), at: TUESDAY_10 + 2 * DAY_MS });
    expect(said([...records, began], TUESDAY_10 + 2 * DAY_MS)).toBe(
      `Your shoes are being stitched. On Tuesday they had their soles cut to shape. ${PROMISED}`,
    );
  });

  test('waiting for a turn: what comes next', () => {
    expect(said(upTo('STI').records, TUESDAY_10 + DAY_MS)).toBe(
      `Your shoes are in the workshop. Next they will be stitched. Yesterday they had their soles cut to shape. ${PROMISED}`,
    );
  });

  test('only just logged', () => {
    const logged = office().write('pair-logged', { yes: 'not-wanted' });
    expect(said([logged], MONDAY_8 + DAY_MS)).toBe(
      `Your shoes are in the workshop. Next they will be looked over. Yesterday they were booked in. ${PROMISED}`,
    );
  });

  test('waiting for the answer', () => {
    const { records } = upTo('CLN', TUESDAY_10, { yes: 'to-ask' });
    expect(said(records, TUESDAY_10)).toBe(
      'Your shoes are waiting for your answer: we go on as soon as we have it. Today they were looked over. They are promised for 10 December if we hear from you in good time.',
    );
  });

  test('drying overnight', () => {
    expect(said(upTo('SLP', TUESDAY_10 + 6 * HOUR_MS).records, TUESDAY_10 + 7 * HOUR_MS)).toBe(
      `Your shoes are drying and settling until tomorrow. Today they had their soles levelled. ${PROMISED}`,
    );
  });

  test('waiting for their last', () => {
    const around: Around = { ...ALONE, lastHeldBy: () => asPairId('P0300008') };
    expect(said(upTo('LAS').records, TUESDAY_10 + DAY_MS, around)).toBe(
      `Your shoes are waiting for their last, the form they are made on. Other shoes are on it. Yesterday they had their last looked out. ${PROMISED}`,
    );
  });

  test('sent back: a second look, and no word of why or who', () => {
    const { bench, records } = upTo('STI');
    const back = bench.write('sent-back', {
      from: asStageCode('STI'),
      to: LAY,
      shoe: 'left',
      reason: 'Ines Okafor let it creep',
      at: TUESDAY_10 + 1,
    });
    const words = said([...records, back], TUESDAY_10 + DAY_MS);
    expect(words).toContain('Your shoes are having a second look: one step is being done again.');
    expect(words).not.toMatch(/Ines|creep|LAY|Laying/);
  });

  test('put by', () => {
    const { bench, records } = upTo('STI');
    const aside = bench.write('set-aside', { reason: 'Tomasz cut the thread wrong', at: TUESDAY_10 + 1 });
    expect(said([...records, aside], TUESDAY_10 + 2)).toMatch(/^Your shoes have been put by for the moment/);
  });

  test('finished', () => {
    expect(said(upTo(null).records, TUESDAY_10 + 2 * DAY_MS)).toBe(
      `Your shoes are finished and ready to go out. On Tuesday they were boxed. ${PROMISED}`,
    );
  });

  test('gone out', () => {
    const { bench, records } = upTo(null);
    const began = bench.write('clocked-in', { stage: DSP, at: TUESDAY_10 + 1 });
    const out = bench.write('clocked-out', { stage: DSP, of: began.id, closes: true, at: TUESDAY_10 + 2 });
    const gone = [...records, began, out];
    expect(said(gone, TUESDAY_10 + DAY_MS)).toBe('Your shoes are finished and went out yesterday.');
    expect(said(gone, TUESDAY_10 + 90 * DAY_MS)).toBe(
      'Your shoes are finished and went out on 3 November 2026.',
    );
  });

  test('returned in parts', () => {
    const { bench, records } = upTo('LAS');
    const stop = office().write('owner-answered', { answer: 'stop', seq: 50, at: TUESDAY_10 + 1 });
    expect(said([...records, stop], TUESDAY_10 + 2)).toContain(
      'Your shoes are being returned in parts, as you asked.',
    );
    const began = bench.write('clocked-in', { stage: DSP, at: TUESDAY_10 + 3 });
    const out = bench.write('clocked-out', { stage: DSP, of: began.id, closes: true, at: TUESDAY_10 + 4 });
    expect(said([...records, stop, began, out], TUESDAY_10 + 5)).toBe(
      'Your shoes were returned in parts today, as you asked.',
    );
    const given = office().write('handed-back', { seq: 51, at: TUESDAY_10 + 3 });
    expect(said([...records, stop, given], TUESDAY_10 + DAY_MS)).toBe(
      'Your shoes were returned in parts yesterday, as you asked.',
    );
  });

  test('never logged', () => {
    expect(said([handAt(WELTING).write('clocked-in', { unknownPair: true })], MONDAY_8)).toBe(
      'Your shoes are with us, but their papers are not complete yet. We will look and call you back.',
    );
  });

  test('a promise that has passed, and one that drying alone breaks', () => {
    const { records } = upTo('STI', TUESDAY_10, { promised: '2026-11-03' });
    expect(said(records, TUESDAY_10 + DAY_MS)).toContain(
      'They were promised for 3 November. That day has passed',
    );
    expect(said(records, TUESDAY_10 + 1)).toContain('but need longer to dry');
  });

  test.each([
    ['heard nine minutes ago', -9 * MINUTE_MS, ''],
    ['heard yesterday', -DAY_MS, ' This is what we knew yesterday at 10:00.'],
    ['heard five days ago', -5 * DAY_MS, ' This is what we knew on Tuesday at 10:00.'],
  ])('how old the answer is: %s', (_, ago, ends) => {
    const now = TUESDAY_10 + 5 * DAY_MS;
    const words = said(upTo('STI').records, now, ALONE, now + ago);
    expect(words.endsWith(`10 December.${ends}`)).toBe(true);
  });

  test('the server was never reached', () => {
    expect(said(upTo('STI').records, TUESDAY_10, ALONE, null)).toMatch(/not yet heard from the benches/);
  });
});

test('every kind of record has its line in the account, without a code or an id', () => {
  for (const sample of RECORD_SAMPLES) {
    const record = recordSchema.parse(sample);
    const line = recordLine(record, BOOK);
    expect(line.length, record.kind).toBeGreaterThan(3);
    expect(line, record.kind).not.toMatch(/\b(?:WLT|LAY|INT|CHK|op-\w+|[0-9a-f]{8}-)/);
    expect(line, record.kind).not.toMatch(/undefined|null|\[object/);
  }
});
