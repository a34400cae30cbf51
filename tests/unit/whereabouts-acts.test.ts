/** What the desk records about a pair: each act is a record by the schemas and folds to what was meant, or says what is missing. */
import { describe, expect, test } from 'vitest';
import type { Act } from '../../src/desk/office.ts';
import {
  amend,
  answerOwner,
  askable,
  askOwner,
  askStage,
  handBack,
  jobChange,
  lineOf,
  notNeeded,
  type Prepared,
  releaseNote,
  reprint,
  spareable,
  type Typed,
  takeBack,
} from '../../src/desk/whereabouts-acts.ts';
import { draft } from '../../src/domain/drafts.ts';
import type { PairState } from '../../src/domain/fold/pair-state.ts';
import { asStageCode } from '../../src/domain/ids.ts';
import { HOUR_MS } from '../../src/domain/instant.ts';
import { type LedgerRecord, recordSchema } from '../../src/domain/record/kinds.ts';
import { dueOn, wayOf } from '../../src/domain/way.ts';
import { actWords, jobChangeLines } from '../../src/words/whereabouts-acts.ts';
import {
  DESK,
  fullBook,
  handAt,
  idOf,
  MONDAY_8,
  PAIR,
  RUTH,
  SITE,
  stateAfter,
  WELTING,
  WLT,
} from '../support/builders.ts';

const BOOK = fullBook();
const office = handAt(DESK, RUTH);
const LOGGED = office.write('pair-logged', { yes: 'given' });
const CLO = asStageCode('CLO');
const STOP = handAt(WELTING).write('noted', { weight: 'stop' });

/** The records that the desk would keep, read back by the schemas. */
function recorded(prepared: Prepared): readonly LedgerRecord[] {
  if (prepared.is === 'missing') throw new Error(prepared.says);
  return prepared.acts.map(({ kind, said }: Act, index) => {
    const seq = 100 + index;
    const at = MONDAY_8 + 24 * HOUR_MS + index;
    const wall = { ms: at, offsetMs: 0, known: true };
    const made = draft(
      { site: SITE, bench: DESK, by: RUTH, wall, newId: () => idOf(DESK, seq) },
      kind,
      said as never,
    );
    return recordSchema.parse({ ...made, seq, seen: '' });
  });
}

const then = (prepared: Prepared, ...before: readonly LedgerRecord[]): PairState =>
  stateAfter(LOGGED, ...before, ...recorded(prepared));

const BEFORE = stateAfter(LOGGED);
const typed: Typed = {
  job: 'FB',
  ownerRef: 'A-1042',
  style: 'brown derby',
  last: '82',
  size: '8',
  fitting: 'F',
  promised: '2026-12-10',
  maker: '',
  asked: '',
};

describe('acts', () => {
  test('ask the owner', () => {
    expect(then(askOwner(PAIR, 'insole broken', STOP.id), STOP).owner).toMatchObject({
      is: 'asked',
      why: 'insole broken',
    });
    expect(askOwner(PAIR, '  ', null)).toEqual({ is: 'missing', says: actWords.whyMissing });
  });

  test.each([
    ['go-on', 'given', 'FB'],
    ['go-on-cheaper', 'given', 'HF'],
    ['stop', 'stopped', 'FB'],
  ] as const)('the owner’s answer: %s', (answer, is, job) => {
    const state = then(answerOwner(BEFORE, { answer, job, promised: '2026-12-20', words: '' }));
    expect(state.owner.is).toBe(is);
    expect(state.details).toMatchObject({ job, promised: answer === 'stop' ? '2026-12-10' : '2026-12-20' });
  });

  test('given back in parts after a stop: the pair has left, and a last that was in it is freed in the same go', () => {
    const stop = office.write('owner-answered', { answer: 'stop' });
    const bench = handAt(WELTING);
    const [racked, taken] = [bench.write('racked'), bench.write('last-taken')];
    const before = stateAfter(LOGGED, racked, taken, stop);
    const prepared = handBack(before, ' fetched by the owner ');
    expect(recorded(prepared).map(({ kind }) => kind)).toEqual(['last-freed', 'handed-back']);
    const gone = then(prepared, racked, taken, stop);
    expect(gone).toMatchObject({ closedAt: MONDAY_8 + 24 * HOUR_MS + 1, last: null, rack: null, flags: [] });
    expect(gone.handedBack?.why).toBe('fetched by the owner');
    expect(recorded(handBack(stateAfter(LOGGED, stop), 'sent')).map(({ kind }) => kind)).toEqual([
      'handed-back',
    ]);
  });

  test('not given back without a stop, twice, or without a word of how', () => {
    const stop = office.write('owner-answered', { answer: 'stop' });
    const gone = stateAfter(LOGGED, stop, office.write('handed-back'));
    expect(handBack(BEFORE, 'fetched')).toEqual({ is: 'missing', says: actWords.noStopSaid });
    expect(handBack(gone, 'fetched')).toEqual({ is: 'missing', says: actWords.noStopSaid });
    expect(handBack(stateAfter(LOGGED, stop), ' ')).toEqual({
      is: 'missing',
      says: actWords.handBackHowMissing,
    });
  });

  test('no answer without a day, and none without a choice', () => {
    expect(answerOwner(BEFORE, { answer: 'go-on', job: 'FB', promised: '', words: '' })).toMatchObject({
      says: actWords.dayMissing,
    });
    expect(answerOwner(BEFORE, { answer: null, job: 'FB', promised: '2026-12-20', words: '' })).toMatchObject(
      { is: 'missing' },
    );
  });

  test('details put right: only what differs, after what was seen', () => {
    const prepared = amend(BEFORE, { ...typed, size: ' 8½ ', maker: 'Hollins' }, 'read anew');
    expect(prepared).toEqual({
      is: 'acts',
      acts: [
        {
          kind: 'pair-amended',
          said: { pair: PAIR, after: LOGGED.id, changes: { size: '8½', maker: 'Hollins' }, why: 'read anew' },
        },
      ],
    });
    const state = then(prepared);
    expect(state.details).toMatchObject({ size: '8½', maker: 'Hollins', style: 'brown derby' });
    expect(state.flags).toEqual([]);
  });

  test('details put right at two desks apart: both are kept, and it is flagged', () => {
    const elsewhere = handAt(WELTING, RUTH, MONDAY_8 + HOUR_MS).write('pair-amended', {
      after: LOGGED.id,
      changes: { style: 'black derby' },
    });
    const state = then(amend(BEFORE, { ...typed, size: '9' }, 'read anew'), elsewhere);
    expect(state.details).toMatchObject({ size: '9', style: 'black derby' });
    expect(state.flags.map(({ flag }) => flag)).toEqual(['amended-apart']);
  });

  test('details: nothing changed, something empty, or no reason', () => {
    expect(amend(BEFORE, typed, 'x')).toMatchObject({ says: actWords.nothingChanged });
    expect(amend(BEFORE, { ...typed, style: ' ' }, 'x')).toMatchObject({ says: actWords.empty('style') });
    expect(amend(BEFORE, { ...typed, size: '9' }, '')).toMatchObject({ says: actWords.whyMissing });
  });

  test('a stage not needed is off the route; one asked for is on it', () => {
    expect(spareable(BEFORE, BOOK)).toContain('INT');
    expect(spareable(then(notNeeded(PAIR, asStageCode('INT'), 'trimmed on the welter')), BOOK)).not.toContain(
      'INT',
    );
    expect(spareable(BEFORE, BOOK)).not.toContain(BOOK.closingStage);
    expect(askable(BEFORE, BOOK)).toContain(CLO);
    expect(then(askStage(PAIR, CLO, 'lining torn', null)).asked).toEqual([CLO]);
    expect(askable(then(askStage(PAIR, CLO, 'lining torn', null)), BOOK)).not.toContain(CLO);
    expect(askStage(PAIR, null, 'x', null)).toMatchObject({ is: 'missing' });
  });

  test('a stop note released, a second ticket, a logging taken back', () => {
    expect(then(releaseNote(PAIR, STOP.id, 'seen to'), STOP).notes[0]?.released).toMatchObject({
      by: RUTH,
      why: 'seen to',
    });
    expect(then(reprint(PAIR, 'lost')).reprints).toBe(1);
    expect(then(takeBack(PAIR, LOGGED.id, 'another pair'))).toMatchObject({ logged: null, details: null });
  });

  test('what was typed fits a record: one line, no control characters, no half of a pair of surrogates', () => {
    expect(lineOf(' a\n\u2028b\u0000 ')).toBe('a b');
    expect(lineOf(`${'x'.repeat(199)}👞`)).toBe('x'.repeat(199));
    expect(lineOf('\ud83d')).toBe('');
    for (const text of ['عمل 👞', `${'👞'.repeat(150)}`, 'a\tb'])
      expect(() => recorded(askOwner(PAIR, text, null))).not.toThrow();
  });
});

describe('another kind of job in mid-job', () => {
  // Rotten inseam found on a sole on the old welt: it turns into a full rebuild. Common practice, no source.
  const RESOLE = office.write('pair-logged', { job: 'RS', yes: 'given' });
  const bench = handAt(WELTING, RUTH, MONDAY_8 + HOUR_MS);
  const done = ['REC', 'TRI', 'CLN', 'PUL', 'RIB'].flatMap((stage) => {
    const began = bench.write('clocked-in', { stage: asStageCode(stage) });
    return [began, bench.write('clocked-out', { stage: began.stage, of: began.id })];
  });
  const state = stateAfter(RESOLE, ...done);

  test('adds the welt and what stands on it, and keeps what is done', () => {
    const change = jobChange(state, BOOK, 'FB');
    expect(change?.added).toEqual([WLT, 'INT', 'BEA', 'SEA', 'SHK']);
    expect(change?.dropped).toEqual([]);
    expect(change?.kept).toEqual(['REC', 'TRI', 'OWN', 'CLN', 'PUL', 'RIB']);
  });

  test('as was shown: after the answer those stages are on the way, and the done ones are', () => {
    const [answer] = recorded(
      answerOwner(state, { answer: 'go-on', job: 'FB', promised: '2026-12-20', words: '' }),
    );
    if (answer === undefined) throw new Error('no answer');
    const way = wayOf(stateAfter(RESOLE, ...done, answer), BOOK);
    expect(way?.route.map(({ stage }) => stage)).toContain(WLT);
    expect(way === null ? [] : dueOn(way)).toEqual(['FND', 'PRP', 'HBL']);
    expect(jobChangeLines({ job: 'FB', added: ['Welt sewing'], dropped: [], kept: ['Inspection'] })).toEqual([
      'Full rebuild adds: Welt sewing.',
      'Done, and stays done: Inspection.',
    ]);
  });
});
