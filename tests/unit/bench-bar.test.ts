/** The bar as a table: whatever the page shows, it says what is so, what to do, and offers a way on. */
import { describe, expect, test } from 'vitest';
import { stagesOfJob } from '../../src/domain/catalogue/jobs.ts';
import { STAGES } from '../../src/domain/catalogue/stages.ts';
import type { NoteState, Spell } from '../../src/domain/fold/pair-state.ts';
import { asStageCode } from '../../src/domain/ids.ts';
import type { Intent, Refusal } from '../../src/domain/intent.ts';
import { HURDLES } from '../../src/domain/record/kinds.ts';
import type { Acts } from '../../src/tablet/app/acts.ts';
import { barOf } from '../../src/tablet/app/bar.ts';
import type { Bar } from '../../src/tablet/app/bar-parts.ts';
import type { Choosing, Hint, Moment, PairCard, Screen, View } from '../../src/tablet/app/screen.ts';
import * as benchWords from '../../src/words/bench.ts';
import * as choiceWords from '../../src/words/choices.ts';
import * as questionWords from '../../src/words/questions.ts';
import * as scanWords from '../../src/words/scans.ts';
import { dueAt, fullBench, SECOND, scan, stateOf, yesterday } from '../support/bench.ts';
import { INES, LAY, MONDAY_8, PAIR, RACK, RUTH, WLT } from '../support/builders.ts';
import { everyIntent, QUESTIONS } from '../support/intent-cases.ts';

const CHK = asStageCode('CHK');
const BOX = asStageCode('BOX');
const at = MONDAY_8;

/** A real pair with a note on it, in work here. */
async function worked() {
  const bench = await fullBench();
  const way = yesterday();
  await bench.pull(...dueAt(WLT, bench.book, way), way.elsewhere.write('noted', { seeAt: [LAY] }));
  await scan(bench, PAIR);
  const pair = await stateOf(bench);
  const spell = pair.spells.at(-1);
  const note = pair.notes[0];
  if (spell === undefined || note === undefined) throw new Error('no pair in work');
  return { view: { ...bench.app.view, hint: null }, pair, spell, note };
}

const { view: base, pair, spell, note } = await worked();
const begin = { id: PAIR, pair, stage: WLT, shoe: 'both', on: INES, settled: new Set<never>() } as const;
const undo = [spell.id];
const ended: Spell = { ...spell, to: at, outcome: 'done' };

const cardOf = (moment: Moment, more: Partial<PairCard> = {}): Screen => ({
  is: 'card',
  card: { id: PAIR, pair, stage: WLT, moment, turn: 1, choosing: null, ...more },
});

type Named<Is extends string> = Readonly<Record<Is, readonly Partial<View>[]>>;

const moment = (one: Moment, more: Partial<PairCard> = {}): Partial<View> => ({ screen: cardOf(one, more) });
const before = { at, begin, before: [] };

const questions = Object.values(QUESTIONS).map((question) =>
  moment({ ...before, is: 'asked', question: { ...question, stage: WLT } }),
);

const MOMENTS: Named<Moment['is']> = {
  'clocked-in': [moment({ is: 'clocked-in', at, spell, undo })],
  'clocked-out': [null, LAY].flatMap((next) => [
    moment({ is: 'clocked-out', at, spell: ended, undo, next }),
    { ...moment({ is: 'clocked-out', at, spell: ended, undo, next }), now: at + 30_000 },
    { ...moment({ is: 'clocked-out', at, spell: ended, undo, next }), now: at + 3_600_000 },
  ]),
  'not-finished': [moment({ is: 'not-finished', at, undo, takenBack: [] })],
  'set-aside': [moment({ is: 'set-aside', at, undo, reason: 'Waits for a part' })],
  'sent-back': (['both', 'left', 'right'] as const).map((shoe) =>
    moment({ is: 'sent-back', at, undo, to: WLT, shoe, takenBack: [] }),
  ),
  open: [
    moment({ is: 'open', at, spell }),
    moment({ is: 'open', at, spell }, { stage: CHK }),
    moment({ is: 'open', at, spell }, { stage: LAY }),
    moment({ is: 'open', at, spell }, { pair: { ...pair, notes: [stopping(note)] } }),
  ],
  forgotten: [moment({ is: 'forgotten', at, spell }), moment({ is: 'forgotten', at, spell }, { stage: BOX })],
  reminders: [moment({ ...before, is: 'reminders' })],
  'see-notes': [moment({ ...before, is: 'see-notes', unseen: [note] }, { stage: LAY })],
  stopped: [moment({ ...before, is: 'stopped', by: [stopping(note)] })],
  asked: questions,
  checking: [false, true].flatMap((probe) =>
    [false, true].map((board) => moment({ is: 'checking', at, spell, probe, board }, { stage: CHK })),
  ),
  boxing: ([null, 'scanned', 'by-eye'] as const).map((tag) =>
    moment({ is: 'boxing', at, spell, back: [], tag }, { stage: BOX }),
  ),
};

function stopping(held: NoteState): NoteState {
  return { ...held, note: { ...held.note, weight: 'stop' } };
}

const chosen = (choosing: Choosing, on: Moment = { is: 'open', at, spell }) => moment(on, { choosing });
const CHOOSING: Named<Choosing['is']> = {
  more: [chosen({ is: 'more' })],
  'set-aside': [chosen({ is: 'set-aside' })],
  'send-back': [chosen({ is: 'send-back', shoe: 'left' })],
  part: [chosen({ is: 'part' })],
  machine: [chosen({ is: 'machine' })],
  'second-hand': [chosen({ is: 'second-hand' })],
  reminders: [chosen({ is: 'reminders' })],
  late: [chosen({ is: 'late' })],
  'let-through': [chosen({ is: 'let-through', by: RUTH })],
  release: [chosen({ is: 'release', by: RUTH })],
  'pass-open': [
    chosen({ is: 'pass-open' }, { is: 'checking', at, spell, probe: true, board: true }),
    chosen({ is: 'pass-open' }, { is: 'boxing', at, spell, back: [], tag: 'scanned' }),
  ],
  note: [chosen({ is: 'note' })],
};

const damaged = (['check', 'length', 'character'] as const).flatMap((why) =>
  // What no code has is always named.
  [
    ...(why === 'character' ? [] : [[]]),
    [{ position: 5, read: '3', perhaps: '8' }],
    [{ position: 5, read: '?', perhaps: '' }],
  ].map((compare) => ({ kind: 'damaged', looksLike: 'ticket', text: 'P7K4292M', why, compare }) as const),
);
const REFUSALS: Readonly<Record<Refusal['is'], readonly Refusal[]>> = {
  'not-set-up': [{ is: 'not-set-up' }],
  'badge-first': [
    { is: 'badge-first', pair: PAIR },
    { is: 'badge-first', pair: null },
  ],
  'unknown-badge': [{ is: 'unknown-badge' }],
  'own-badge': [{ is: 'own-badge' }],
  'mixed-pair': [{ is: 'mixed-pair', card: PAIR, tag: SECOND }],
  damaged: damaged.map((code) => ({ is: 'damaged', code })),
  foreign: (['empty', 'too-long', 'control-characters', 'not-ours'] as const).map((why) => ({
    is: 'foreign',
    code: { kind: 'foreign', text: '5012345678900', why },
  })),
};

/** Each hint over the bench and over a card. */
const told = (...hints: readonly Hint[]): readonly Partial<View>[] =>
  hints.flatMap((hint) => [{ hint, screen: { is: 'ready' } }, { hint }]);
const HINTS: Named<Hint['is']> = {
  refused: told(
    ...Object.values(REFUSALS).flatMap((all) => all.map((why): Hint => ({ is: 'refused', why }))),
  ),
  'wrong-layout': told({ is: 'wrong-layout', layout: 'azerty' }, { is: 'wrong-layout', layout: 'qwertz' }),
  'scanner-keys': told({ is: 'scanner-keys' }),
  'scanner-cut-short': told({ is: 'scanner-cut-short' }),
  'several-codes': told({ is: 'several-codes' }),
  'reading-in': told({ is: 'reading-in' }),
  'set-up-in-settings': told({ is: 'set-up-in-settings' }),
  'still-in-view': told({ is: 'still-in-view' }),
  'badged-on': told({ is: 'badged-on', name: 'Ines Okafor' }),
  'badged-off': told({ is: 'badged-off', name: 'Ines Okafor' }),
  'handed-over': [0, 1, 3].flatMap((open) =>
    told({ is: 'handed-over', from: 'Ines Okafor', to: 'Tomasz Lindqvist', open }),
  ),
  undone: told({ is: 'undone' }),
  found: [...told({ is: 'found', pair: PAIR }), { hint: { is: 'found', pair: PAIR }, finding: true }],
  racked: told({ is: 'racked', rack: RACK }),
  joined: told({ is: 'joined', name: 'Tomasz Lindqvist', as: 'beside' }),
  parted: told({ is: 'parted', shoe: 'left' }, { is: 'parted', shoe: 'right' }),
  noted: told(
    ...(['nothing', 'owner', 'stage', 'stop'] as const).map((raises): Hint => ({ is: 'noted', raises })),
  ),
  cured: told({ is: 'cured' }),
  released: told({ is: 'released' }),
  pictured: told({ is: 'pictured' }),
  'no-picture': told(
    ...(['not-a-picture', 'too-large', 'unreadable', 'not-kept'] as const).map(
      (why): Hint => ({ is: 'no-picture', why }),
    ),
  ),
  'machine-stopped': told({ is: 'machine-stopped' }),
  'machine-back': told({ is: 'machine-back' }),
  many: (['in', 'out'] as const).flatMap((did) =>
    [0, 1, 3].flatMap((left) => told({ is: 'many', did, pairs: 2 - (left % 2), left })),
  ),
};

const SCREENS: Named<Screen['is']> = {
  starting: [{ screen: { is: 'starting' } }],
  broken: (['no-storage', 'full', 'unreadable', 'stuck'] as const).map((trouble) => ({
    screen: { is: 'broken', trouble },
  })),
  enrol: (
    [
      'waiting',
      'asking',
      'unknown-code',
      'used-code',
      'no-server',
      'too-many-tries',
      'keeps-nothing',
      'records-wait',
      'refused-kept',
    ] as const
  ).map((state) => ({ screen: { is: 'enrol', state } })),
  'nobody-on': [{ screen: { is: 'nobody-on' }, on: null }],
  ready: [
    { screen: { is: 'ready' } },
    { screen: { is: 'ready' }, finding: true },
    { screen: { is: 'ready' }, open: [...base.open, ...base.open] },
  ],
  card: [],
  rack: [
    { screen: { is: 'rack', rack: RACK, pairs: [] } },
    {
      screen: {
        is: 'rack',
        rack: RACK,
        pairs: (['clock-in', 'clock-out', 'scan-it'] as const).map((can) => ({
          pair: PAIR,
          state: pair,
          stage: WLT,
          can,
        })),
      },
    },
  ],
  settings: [{ screen: { is: 'settings' } }, { screen: { is: 'settings' }, stages: [] }],
};

const UNRECORDED = Object.keys(benchWords.troubles).map((trouble) => ({
  unrecorded: trouble as NonNullable<View['unrecorded']>,
}));

/** By what is shown, and which of its ways. */
const ALL: readonly (readonly [string, View])[] = [
  ...rows('screen', SCREENS),
  ...rows('moment', MOMENTS),
  ...rows('choosing', CHOOSING),
  ...rows('hint', HINTS),
  ...rows('unrecorded', { act: UNRECORDED }),
  ...Object.values(QUESTIONS).map(
    (question, index) => [`question ${question.ask}`, { ...base, ...questions[index] }] as const,
  ),
];

function rows(of: string, named: Named<string>): readonly (readonly [string, View])[] {
  return Object.entries(named).flatMap(([is, views]) =>
    views.map((view, index) => [`${of} ${is} ${index + 1}`, { ...base, ...view }] as const),
  );
}

const CODES = new RegExp(`\\b(${STAGES.map(({ code }) => code).join('|')})\\b`);
const UNSAYABLE =
  /undefined|null|NaN|\[object|!|\bplease\b|\berror\b|\buser\b|\bsession\b|\basset\b|\bworkstation\b/i;
const OPENS_WELL = /^[\p{Lu}\d“]/u;

/** What is wrong with a sentence on the screen; nothing where it is as the house has it. */
function faultsOf(text: string): readonly string[] {
  return [
    ...(text === '' ? ['is empty'] : []),
    ...(text.endsWith('.') ? ['ends with a full stop'] : []),
    ...(CODES.test(text) ? ['holds a stage code'] : []),
    ...(UNSAYABLE.test(text) ? ['holds a word that is never said'] : []),
    ...(text === '' || OPENS_WELL.test(text) ? [] : ['does not begin as a sentence does']),
    ...(/ {2}|^\s|\s$|\. \.|, ,/.test(text) ? ['has a hole in it'] : []),
  ];
}

const MOST_BUTTONS = 5;
/** These screens say all in one line. */
const ONE_LINE = new Set(['screen starting 1', 'screen settings 1', 'screen settings 2']);

function faultsIn(name: string, { line, buttons }: Bar): readonly string[] {
  const labels = buttons.map(({ label }) => label);
  return [
    ...faultsOf(line.says).map((fault) => `says «${line.says}» ${fault}`),
    ...(line.next === '' && ONE_LINE.has(name)
      ? []
      : faultsOf(line.next).map((fault) => `next «${line.next}» ${fault}`)),
    ...labels.flatMap((label) => faultsOf(label).map((fault) => `button «${label}» ${fault}`)),
    ...(new Set(labels).size === labels.length ? [] : [`two buttons alike: ${labels.join(', ')}`]),
    ...(labels.length > MOST_BUTTONS ? [`${labels.length} buttons: ${labels.join(', ')}`] : []),
  ];
}

/** The names of the acts that a button's tap calls. */
function actsOf(button: Bar['buttons'][number]): readonly string[] {
  const called: string[] = [];
  const acts = new Proxy({} as Acts, {
    get:
      (_, name) =>
      (...given: readonly unknown[]) =>
        called.push(given.length === 0 ? String(name) : `${String(name)} ${JSON.stringify(given[0])}`),
  });
  button.act(acts);
  return called;
}

/** Taps that record nothing. */
const WAYS_OUT = new Set(['leave', 'choose null', 'finding false', 'giveUp']);
const waysOut = (bar: Bar) =>
  bar.buttons.filter((button) => actsOf(button).every((act) => WAYS_OUT.has(act)));

describe('every bar', () => {
  test.each(ALL)('%s', (name, view) => {
    expect(faultsIn(name, barOf(view))).toEqual([]);
  });

  test('every button calls one act', () => {
    for (const [, view] of ALL)
      for (const button of barOf(view).buttons) expect(actsOf(button)).toHaveLength(1);
  });

  test('colour and shape go together, and work that has begun has a shape of its own', () => {
    const seen = new Map<string, string>();
    for (const [, view] of ALL) {
      const { tone, shape } = barOf(view);
      if (shape === 'begun') expect(tone).toBe('go');
      else expect(seen.get(tone) ?? shape).toBe(shape);
      if (shape !== 'begun') seen.set(tone, shape);
    }
    expect(new Set(seen.values()).size).toBe(seen.size);
  });
});

describe('a way out', () => {
  test.each([...rows('choosing', CHOOSING), ...rows('question', { asked: questions })])(
    '%s can be left without a record',
    (_name, view) => {
      expect(waysOut(barOf(view))).not.toEqual([]);
    },
  );

  test.each(rows('moment', MOMENTS))('%s has a button', (_name, view) => {
    expect(barOf(view).buttons).not.toEqual([]);
  });

  test.each(rows('hint', HINTS))('%s over a card gives the card back', (_name, view) => {
    if (view.screen.is === 'card') expect(barOf(view).buttons).not.toEqual([]);
  });
});

/** What the app shows for an intent, as `bench-app.ts` and `pair-acts.ts` do. */
function viewOf(intent: Intent): Partial<View> {
  const at_ = { at };
  switch (intent.do) {
    case 'enrol':
      return { screen: { is: 'enrol', state: 'asking' } };
    case 'badge-on':
      return { screen: { is: 'ready' }, hint: { is: 'badged-on', name: 'Ines Okafor' } };
    case 'badge-off':
      return { screen: { is: 'nobody-on' }, on: null, hint: { is: 'badged-off', name: 'Ines Okafor' } };
    case 'hand-over':
      return {
        screen: { is: 'ready' },
        hint: { is: 'handed-over', from: 'Ines Okafor', to: 'Tomasz Lindqvist', open: 1 },
      };
    case 'let-through':
    case 'release':
      return chosen({ is: intent.do, by: intent.by });
    case 'answer-for':
    case 'clock-in':
      return moment({ is: 'clocked-in', at, spell, undo });
    case 'join':
      return { hint: { is: 'joined', name: 'Tomasz Lindqvist', as: 'beside' } };
    case 'clock-out':
      return moment({ is: 'clocked-out', at, spell: intent.spell, undo, next: null });
    case 'final-check':
      return moment({ ...at_, is: 'checking', spell: intent.spell, probe: false, board: false });
    case 'boxing':
      return moment({ ...at_, is: 'boxing', spell: intent.spell, back: [], tag: null });
    case 'tag-matches':
      return moment({ ...at_, is: 'boxing', spell, back: [], tag: 'scanned' });
    case 'end-unknown':
      return moment({ ...at_, is: 'forgotten', spell: intent.spell });
    case 'notes-came-in':
      return moment(
        { ...at_, is: 'open', spell: intent.spell },
        { stage: intent.spell.stage, pair: { ...pair, notes: [intent.stopped ? stopping(note) : note] } },
      );
    case 'found-here':
      return { screen: { is: 'ready' }, hint: { is: 'found', pair: intent.pair } };
    case 'rack-pair':
      return { hint: { is: 'racked', rack: intent.rack } };
    case 'open-rack':
      return { screen: { is: 'rack', rack: intent.rack, pairs: [] } };
    case 'refuse':
      return { hint: { is: 'refused', why: intent.why } };
    case 'ask':
      return moment({ ...before, is: 'asked', begin: intent.begin, question: intent.question });
    case 'stopped':
      return moment({ ...before, is: 'stopped', by: intent.by });
    case 'show-reminders':
      return moment({ ...before, is: 'reminders' });
    case 'see-notes':
      return moment({ ...before, is: 'see-notes', unseen: [note] }, { stage: LAY });
  }
}

test.each(everyIntent().map(({ name, intent }) => [name, intent] as const))(
  'what «%s» leads to has its words and its way on',
  (name, intent) => {
    const bar = barOf({ ...base, ...viewOf(intent) });
    expect(faultsIn(name, bar)).toEqual([]);
    if (intent.do === 'ask') expect(waysOut(bar)).not.toEqual([]);
  },
);

describe('words that are chosen from', () => {
  // Whole sentences in a numbered list: there the full stop belongs.
  const { enrolWords: _, ...barWords } = benchWords;
  const SETS = { bench: barWords, questions: questionWords, choices: choiceWords, scans: scanWords };

  test.each(Object.entries(SETS))('%s', (_name, words) => {
    const faults = sentencesIn(words).flatMap((text) =>
      faultsOf(text).flatMap((fault) =>
        fault === 'is empty' || fault === 'does not begin as a sentence does' ? [] : [`«${text}» ${fault}`],
      ),
    );
    expect(faults).toEqual([]);
  });

  test('every hurdle has reasons, each once', () => {
    for (const hurdle of HURDLES) {
      const reasons = choiceWords.letThroughReasons[hurdle];
      expect(reasons.length).toBeGreaterThan(0);
      expect(new Set(reasons).size).toBe(reasons.length);
      for (const reason of reasons) expect(faultsOf(reason)).toEqual([]);
    }
  });

  function sentencesIn(value: unknown): readonly string[] {
    if (typeof value === 'string') return [value];
    if (typeof value !== 'object' || value === null) return [];
    return Object.values(value).flatMap(sentencesIn);
  }
});

test('where several stages are missing, the line names three and counts the rest', () => {
  const missing = stagesOfJob('FB', 'always').slice(0, 7);
  const view = moment({ ...before, is: 'asked', question: { ask: 'not-due', stage: WLT, missing } });
  const { says } = barOf({ ...base, ...view }).line;
  expect(says).toMatch(/^Not yet: no record of .+, .+, .+ and 4 more$/);
  expect(faultsOf(says)).toEqual([]);
});
