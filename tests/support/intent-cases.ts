/**
 * Every combination of what a scan's meaning depends on: the code, the bench, who is on, what the card waits for,
 * whether scans only find, whether a card is shown, and the pair's situation.
 */
import type { Question } from '../../src/domain/begin.ts';
import { type Code, classify, shoeTag } from '../../src/domain/code.ts';
import type { Spell } from '../../src/domain/fold/pair-state.ts';
import { asRecordId, asStageCode, type OperativeId } from '../../src/domain/ids.ts';
import {
  type Awaiting,
  type BenchNow,
  type Intent,
  intentOf,
  type Scanned,
} from '../../src/domain/intent.ts';
import { MONDAY_8, RACK } from './builders.ts';
import { SITUATIONS, type Situation, type SituationName, situation } from './intent-situations.ts';
import {
  type Bench,
  BOX_BENCH,
  CHECK_BENCH,
  ELSEWHERE,
  INES,
  LASTING_BENCH,
  NOT_SET_UP,
  OTHER_PAIR,
  PAIR,
  PIA,
  RUTH,
  TOMASZ,
  TRIMMING_BENCH,
  WELTING_BENCH,
} from './intent-works.ts';

export interface Scan {
  readonly code: Code;
  readonly holder: OperativeId | null;
}

const read = (text: string): Scan => ({ code: classify(text, 'camera'), holder: null });
const badge = (holder: OperativeId | null): Scan => ({
  code: classify('H789ACEFHJKMNPRTVWX8', 'camera'),
  holder,
});

/** Everything that can be held before a scanner. Who stands where with a badge follows from who is on. */
export const SCANS = {
  'the ticket': read(PAIR),
  'the left tag': read(shoeTag(PAIR, 'left', true)),
  'the right tag': read(shoeTag(PAIR, 'right', true)),
  'an unknown badge': badge(null),
  'the badge of Ines, released': badge(INES),
  'the badge of Tomasz, released': badge(TOMASZ),
  'the badge of Pia, not released': badge(PIA),
  'the badge of Ruth, supervisor': badge(RUTH),
  'a rack': read(RACK),
  'a set-up code': read('W4V7N3HYAT66'),
  'a damaged ticket': read('P7K4292M'),
  'a shopping code': read('5012345678900'),
} satisfies Record<string, Scan>;

export const BENCHES = {
  'a new tablet': NOT_SET_UP,
  'the welting bench': WELTING_BENCH,
  'the lasting bench': LASTING_BENCH,
  'the trimming bench': TRIMMING_BENCH,
  'the check': CHECK_BENCH,
  'the box bench': BOX_BENCH,
} satisfies Record<string, Bench>;

export const ON: readonly (OperativeId | null)[] = [null, INES, PIA, RUTH];

const stage = asStageCode('WLT');
const spell: Spell = {
  id: asRecordId('019a4b2c-0000-7000-8000-0000000000aa'),
  stage,
  shoe: 'both',
  bench: ELSEWHERE,
  by: TOMASZ,
  from: MONDAY_8,
  to: null,
  timed: true,
  outcome: 'open',
  endedBy: null,
  undone: { left: null, right: null },
  joined: [],
  amendedBy: [],
};

/** One of each; the compiler says where one is missing. */
export const QUESTIONS: { readonly [Ask in Question['ask']]: Extract<Question, { ask: Ask }> } = {
  'open-by-another': { ask: 'open-by-another', stage, spell },
  closed: { ask: 'closed', stage },
  'returned-in-parts': { ask: 'returned-in-parts', stage, words: null },
  'set-aside': { ask: 'set-aside', stage, reason: 'waiting for thread' },
  parted: { ask: 'parted', stage, shoe: 'left' },
  'which-shoe': { ask: 'which-shoe', stage, shoe: 'left' },
  'open-elsewhere': { ask: 'open-elsewhere', stage, spell },
  'done-already': { ask: 'done-already', stage, spell },
  'not-on-route': { ask: 'not-on-route', stage, job: 'HL' },
  'owners-yes': { ask: 'owners-yes', stage, why: null },
  'not-due': { ask: 'not-due', stage, missing: [asStageCode('LAS')] },
  'not-released': { ask: 'not-released', stage },
  'out-of-use': { ask: 'out-of-use', stage, why: 'guard loose' },
  'last-held': { ask: 'last-held', stage, last: '82 8 F', by: OTHER_PAIR },
};

export const AWAITING: readonly Awaiting[] = [
  { is: 'nothing' },
  ...Object.values(QUESTIONS).map((question): Awaiting => ({ is: 'question', question })),
  { is: 'release' },
  { is: 'second-hand' },
  { is: 'tag', pair: PAIR },
  { is: 'tag', pair: OTHER_PAIR },
];

const YES_OR_NO = [false, true] as const;

export interface IntentCase {
  readonly scan: keyof typeof SCANS;
  readonly at: keyof typeof BENCHES;
  readonly situation: SituationName;
  readonly scanned: Scanned;
  readonly now: BenchNow;
}

/** The dimensions, so that their product can be held against what was asked. */
export const DIMENSIONS = {
  scans: Object.keys(SCANS).length,
  benches: Object.keys(BENCHES).length,
  on: ON.length,
  awaiting: AWAITING.length,
  finding: YES_OR_NO.length,
  card: YES_OR_NO.length,
  situations: SITUATIONS.length,
};

/** All of them, or those of some situations and some that a card waits for. */
export function* everyCase(
  situations: readonly SituationName[] = SITUATIONS,
  awaited: readonly Awaiting[] = AWAITING,
): Generator<IntentCase> {
  for (const [at, bench] of entriesOf(BENCHES)) {
    for (const on of ON) {
      for (const name of situations) {
        const scene = situation(name, { at: bench, me: on ?? INES });
        yield* inScene(at, on, name, scene, awaited);
      }
    }
  }
}

function* inScene(
  at: keyof typeof BENCHES,
  on: OperativeId | null,
  name: SituationName,
  { pair, place }: Situation,
  awaited: readonly Awaiting[],
): Generator<IntentCase> {
  for (const awaiting of awaited) {
    for (const finding of YES_OR_NO) {
      for (const shown of YES_OR_NO) {
        const card = shown ? PAIR : null;
        const now: BenchNow = { ...BENCHES[at], ...place, on, awaiting, finding, card };
        for (const [scan, { code, holder }] of entriesOf(SCANS)) {
          const scanned = { code, holder, pair: code.kind === 'ticket' ? pair : null };
          yield { scan, at, situation: name, scanned, now };
        }
      }
    }
  }
}

function entriesOf<Key extends string, Value>(of: Readonly<Record<Key, Value>>): readonly [Key, Value][] {
  return Object.entries(of) as [Key, Value][];
}

/** What kind of answer it is, finely enough that each has words and buttons of its own. */
export function intentName(intent: Intent): string {
  switch (intent.do) {
    case 'ask':
      return `ask ${intent.question.ask}`;
    case 'refuse':
      return `refuse ${intent.why.is}`;
    case 'clock-in':
      return intent.unknownPair ? 'clock-in of an unknown pair' : 'clock-in';
    case 'notes-came-in':
      return intent.stopped ? 'notes-came-in, stopped' : 'notes-came-in';
    default:
      return intent.do;
  }
}

export interface NamedIntent {
  readonly name: string;
  readonly intent: Intent;
  readonly from: IntentCase;
}

let named: readonly NamedIntent[] | null = null;

/**
 * One of every kind of answer that there is, with the case that it answers, so that a test can hold each to its words
 * and buttons. Badges are asked for every awaited thing; tickets for those that matter to them.
 */
export function everyIntent(): readonly NamedIntent[] {
  if (named !== null) return named;
  const met = new Map<string, NamedIntent>();
  const meet = (from: IntentCase) => {
    const intent = intentOf(from.scanned, from.now);
    const name = intentName(intent);
    if (!met.has(name)) met.set(name, { name, intent, from });
  };
  for (const from of everyCase(SITUATIONS, [{ is: 'nothing' }, { is: 'tag', pair: OTHER_PAIR }])) meet(from);
  for (const from of everyCase(['due here'])) meet(from);
  named = [...met.values()].sort((a, b) => (a.name < b.name ? -1 : 1));
  return named;
}
