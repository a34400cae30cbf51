import { describe, expect, test } from 'vitest';
import { classify } from '../../src/domain/code.ts';
import type { PairState } from '../../src/domain/fold/pair.ts';
import type { OperativeId, StageCode } from '../../src/domain/ids.ts';
import { HOUR_MS } from '../../src/domain/instant.ts';
import { type BenchNow, beginIntent, type Intent, intentOf } from '../../src/domain/intent.ts';
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import {
  DESK,
  DSP,
  handAt,
  INES,
  INT,
  LAY,
  LAYING,
  MONDAY_8,
  PAIR,
  RUTH,
  stateAfter,
  TOMASZ,
  WELTING,
  WLT,
} from '../support/builders.ts';

const BADGE = 'H789ACEFHJKMNPRTVWX8';
const SET_UP = 'W4V7N3HYAT66';

/** The welting bench, where the welt is sewn and the inseam trimmed. */
const bench = (on: OperativeId | null, stages: readonly StageCode[] = [WLT, INT]): BenchNow => ({
  bench: WELTING,
  stages,
  on,
});

/** The answer in a few words, so that a row can be read. */
function said(intent: Intent): string {
  switch (intent.do) {
    case 'enrol':
      return `enrol ${intent.token}`;
    case 'badge-on':
    case 'badge-off':
      return `${intent.do} ${intent.operative}`;
    case 'hand-over':
      return `hand-over ${intent.from} to ${intent.to}`;
    case 'clock-in':
      return `clock-in ${intent.stage}${intent.unknownPair ? ', pair unknown' : ''}`;
    case 'clock-out':
      return `clock-out ${intent.spell.stage} of ${intent.spell.by}`;
    case 'see-notes':
      return `see at ${intent.stage}: ${intent.unseen.map(({ note }) => note.text).join(', ')}`;
    case 'stopped':
      return `stopped at ${intent.stage}: ${intent.by.map(({ note }) => note.text).join(', ')}`;
    case 'ask': {
      const { question } = intent;
      const spell =
        'spell' in question && question.spell ? ` (${question.spell.stage}, ${question.spell.by})` : '';
      const reason = 'reason' in question ? ` (${question.reason})` : '';
      return `ask ${question.ask}${spell}${reason}${'stage' in question ? ` at ${question.stage}` : ''}`;
    }
    case 'refuse':
      return `refuse ${intent.why.is}`;
  }
}

describe('a set-up code', () => {
  test.each<[string, BenchNow]>([
    ['on a new tablet', bench(null, [])],
    ['on a bench in work', bench(INES)],
  ])('%s enrols', (_, now) => {
    expect(said(intentOf({ code: classify(SET_UP, 'camera'), holder: null, pair: null }, now))).toBe(
      `enrol ${SET_UP}`,
    );
  });
});

describe('a badge', () => {
  test.each<[string, OperativeId | null, BenchNow, string]>([
    ['where nobody is on', INES, bench(null), 'badge-on op-ines'],
    ['of the hand who is on', INES, bench(INES), 'badge-off op-ines'],
    ['of another hand', TOMASZ, bench(INES), 'hand-over op-ines to op-tomasz'],
    ['that the site does not know, nobody on', null, bench(null), 'refuse unknown-badge'],
    ['that the site does not know, somebody on', null, bench(INES), 'refuse unknown-badge'],
    ['at a bench that is not set up', INES, bench(null, []), 'refuse not-set-up'],
    [
      'that the site does not know, at a bench that is not set up',
      null,
      bench(null, []),
      'refuse not-set-up',
    ],
  ])('%s', (_, holder, now, expected) => {
    expect(said(intentOf({ code: classify(BADGE, 'camera'), holder, pair: null }, now))).toBe(expected);
  });
});

/** The welting bench's records, written by whoever is on it. */
const welting = (by: OperativeId) => handAt(WELTING, by);

function story(): Record<string, PairState | null> {
  const logged = handAt(DESK, RUTH, MONDAY_8 - HOUR_MS).write('pair-logged');
  const ofPair = (...records: readonly LedgerRecord[]) => stateAfter(logged, ...records);

  const ines = welting(INES);
  const sewing = ines.write('clocked-in', { stage: WLT });
  const sewn = ines.write('clocked-out', { stage: WLT, of: sewing.id });
  const trimming = ines.write('clocked-in', { stage: INT });
  const trimmed = ines.write('clocked-out', { stage: INT, of: trimming.id });
  const unfinished = { ...sewn, outcome: 'not-finished' as const };
  const aside = ines.write('set-aside', { reason: 'waiting for thread' });

  const tomasz = handAt(WELTING, TOMASZ, MONDAY_8 + HOUR_MS);
  const sewingToo = tomasz.write('clocked-in', { seq: 20, stage: WLT });

  const layer = handAt(LAYING, TOMASZ, MONDAY_8 + HOUR_MS);
  const laying = layer.write('clocked-in', { stage: LAY });
  const dispatching = layer.write('clocked-in', { stage: DSP });
  const dispatched = layer.write('clocked-out', { stage: DSP, of: dispatching.id, closes: true });
  const back = layer.write('sent-back', { from: LAY, to: WLT });

  const finder = handAt(DESK, RUTH, MONDAY_8 - HOUR_MS / 2);
  const note = (weight: 'mind' | 'stop', text: string, seeAt: StageCode[]) =>
    finder.write('noted', { seq: text.length, weight, text, seeAt });
  const mind = note('mind', 'thin upper', [WLT]);
  const mindAll = note('mind', 'no heat', []);
  const mindLater = note('mind', 'keep the old heel block', [LAY]);
  const stop = note('stop', 'insole cracked', [WLT]);
  const seen = ines.write('note-seen', { note: mind.id, stage: WLT });
  const seenByTomasz = tomasz.write('note-seen', { seq: 21, note: mind.id, stage: WLT });
  const cured = ines.write('note-cured', { note: stop.id, stage: WLT });

  return {
    'that no tablet has heard of': null,
    'that was worked and never logged': stateAfter(layer.write('taken-up', { seq: 9 })),
    'logged, nothing done': ofPair(),
    'that this hand has open here': ofPair(sewing),
    'that this hand has open here, closed elsewhere meanwhile': ofPair(sewing, dispatching, dispatched),
    'that this hand has open here, set aside meanwhile': ofPair(sewing, aside),
    'that this hand and another have open here': ofPair(sewing, sewingToo),
    'that another hand has open here': ofPair(sewingToo),
    'left unfinished here': ofPair(sewing, unfinished),
    'with the first stage done here': ofPair(sewing, sewn),
    'with both stages done here': ofPair(sewing, sewn, trimming, trimmed),
    'with both stages done, the first sent back': ofPair(sewing, sewn, trimming, trimmed, back),
    'that is open at another bench': ofPair(laying),
    'that is closed': ofPair(dispatching, dispatched),
    'that is closed and set aside': ofPair(dispatching, dispatched, { ...aside, at: dispatched.at + 1 }),
    'that is set aside': ofPair(aside),
    'that is set aside and open at another bench': ofPair(laying, { ...aside, at: laying.at + 1 }),
    'with a note for this stage': ofPair(mind),
    'with notes for this stage and for all': ofPair(mind, mindAll),
    'with a note for a later stage': ofPair(mindLater),
    'with a note that this hand has seen here': ofPair(mind, seen),
    'with a note that another hand has seen here': ofPair(mind, seenByTomasz),
    'with a note of which one is seen and one is not': ofPair(mind, mindAll, seen),
    'with a note that stops': ofPair(stop),
    'with a note that stops and one to be seen': ofPair(mind, stop),
    'with a note that stopped and is cured': ofPair(stop, cured),
    'with a note that stops, open at another bench': ofPair(stop, laying),
    'with a note that stops, which this hand has open here': ofPair(sewing, stop),
  };
}

describe('a ticket, with Ines on at the welting bench', () => {
  const pairs = story();
  const rows: readonly (readonly [string, string])[] = [
    ['that no tablet has heard of', 'clock-in WLT, pair unknown'],
    ['that was worked and never logged', 'clock-in WLT, pair unknown'],
    ['logged, nothing done', 'clock-in WLT'],
    ['that this hand has open here', 'clock-out WLT of op-ines'],
    ['that this hand has open here, closed elsewhere meanwhile', 'clock-out WLT of op-ines'],
    ['that this hand has open here, set aside meanwhile', 'clock-out WLT of op-ines'],
    ['that this hand and another have open here', 'clock-out WLT of op-ines'],
    ['that another hand has open here', 'ask open-by-another (WLT, op-tomasz)'],
    ['left unfinished here', 'clock-in WLT'],
    ['with the first stage done here', 'clock-in INT'],
    ['with both stages done here', 'ask done-already (INT, op-ines) at INT'],
    ['with both stages done, the first sent back', 'clock-in WLT'],
    ['that is open at another bench', 'ask open-elsewhere (LAY, op-tomasz) at WLT'],
    ['that is closed', 'ask closed at WLT'],
    ['that is closed and set aside', 'ask closed at WLT'],
    ['that is set aside', 'ask set-aside (waiting for thread) at WLT'],
    ['that is set aside and open at another bench', 'ask set-aside (waiting for thread) at WLT'],
    ['with a note for this stage', 'see at WLT: thin upper'],
    ['with notes for this stage and for all', 'see at WLT: no heat, thin upper'],
    ['with a note for a later stage', 'clock-in WLT'],
    ['with a note that this hand has seen here', 'clock-in WLT'],
    ['with a note that another hand has seen here', 'see at WLT: thin upper'],
    ['with a note of which one is seen and one is not', 'see at WLT: no heat'],
    ['with a note that stops', 'stopped at WLT: insole cracked'],
    ['with a note that stops and one to be seen', 'stopped at WLT: insole cracked'],
    ['with a note that stopped and is cured', 'clock-in WLT'],
    ['with a note that stops, open at another bench', 'ask open-elsewhere (LAY, op-tomasz) at WLT'],
    ['with a note that stops, which this hand has open here', 'clock-out WLT of op-ines'],
  ];

  const scan = (pair: PairState | null, now: BenchNow) =>
    said(intentOf({ code: classify(PAIR, 'camera'), holder: null, pair }, now));

  test.each(rows)('%s: %s', (which, expected) => {
    expect(scan(pairs[which] ?? null, bench(INES))).toBe(expected);
  });

  test('every pair of the story has its row', () => {
    expect(rows.map(([which]) => which).toSorted()).toEqual(Object.keys(pairs).toSorted());
  });

  test.each(rows)('%s, nobody on: badge first', (which) => {
    expect(scan(pairs[which] ?? null, bench(null))).toBe('refuse badge-first');
  });

  test.each(rows)('%s, at a bench that is not set up: refused', (which) => {
    expect(scan(pairs[which] ?? null, bench(INES, []))).toBe('refuse not-set-up');
  });
});

describe('a code that is none of ours', () => {
  test.each<[string, BenchNow]>([
    ['at a bench in work', bench(INES)],
    ['with nobody on', bench(null)],
    ['at a bench that is not set up', bench(null, [])],
  ])('%s is refused, and goes along so that the screen can say what it was', (_, now) => {
    for (const [text, is] of [
      ['P7K4292M', 'damaged'],
      ['5012345678900', 'foreign'],
    ] as const) {
      const code = classify(text, 'camera');
      expect(intentOf({ code, holder: null, pair: null }, now)).toEqual({ do: 'refuse', why: { is, code } });
    }
  });
});

describe('beginning once a question was answered', () => {
  const pairs = story();
  test.each([
    ['that is set aside', WLT, 'clock-in WLT'],
    ['that is closed', WLT, 'clock-in WLT'],
    ['with both stages done here', INT, 'clock-in INT'],
    ['with a note that stops, open at another bench', WLT, 'stopped at WLT: insole cracked'],
    ['with a note for this stage', WLT, 'see at WLT: thin upper'],
    ['with a note for this stage', INT, 'clock-in INT'],
    ['that no tablet has heard of', WLT, 'clock-in WLT, pair unknown'],
  ])('%s, at %s: %s', (which, stage, expected) => {
    expect(said(beginIntent(PAIR, pairs[which] ?? null, stage, INES))).toBe(expected);
  });
});

test('a ticket of the site’s own numbering is a ticket like any other', () => {
  const code = { kind: 'ticket', pair: PAIR, checked: false } as const;
  expect(said(intentOf({ code, holder: null, pair: null }, bench(INES)))).toBe('clock-in WLT, pair unknown');
});
