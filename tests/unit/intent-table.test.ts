import { isDeepStrictEqual } from 'node:util';
import { describe, expect, test } from 'vitest';
import type { Question } from '../../src/domain/begin.ts';
import { type Intent, intentOf, type Refusal } from '../../src/domain/intent.ts';
import {
  DIMENSIONS,
  everyCase,
  everyIntent,
  type IntentCase,
  intentName,
  QUESTIONS,
} from '../support/intent-cases.ts';
import { INES } from '../support/intent-works.ts';

/** Whether the answer makes a record at once, or shows a card or a bar on which a person acts. */
const BECOMES: { readonly [Do in Intent['do']]: 'a record' | 'a message' } = {
  enrol: 'a message',
  'badge-on': 'a record',
  'badge-off': 'a record',
  'hand-over': 'a record',
  'let-through': 'a message',
  release: 'a message',
  'answer-for': 'a record',
  join: 'a record',
  'clock-in': 'a record',
  'clock-out': 'a record',
  'end-unknown': 'a message',
  'final-check': 'a message',
  boxing: 'a message',
  'tag-matches': 'a message',
  'notes-came-in': 'a message',
  'found-here': 'a record',
  'rack-pair': 'a record',
  'open-rack': 'a message',
  refuse: 'a message',
  ask: 'a message',
  stopped: 'a message',
  'show-reminders': 'a message',
  'see-notes': 'a message',
};

/** What is wrong with a question for whoever has to answer it: what its sentence needs and has not. */
const LACKS: { readonly [Ask in Question['ask']]: (question: Extract<Question, { ask: Ask }>) => boolean } = {
  'open-by-another': ({ spell }) => spell.outcome !== 'open' || spell.by === null,
  closed: () => false,
  'returned-in-parts': ({ words }) => words === '',
  'set-aside': ({ reason }) => reason === '',
  parted: () => false,
  'which-shoe': () => false,
  'open-elsewhere': ({ spell }) => spell.outcome !== 'open',
  'done-already': ({ spell, stage }) => spell === null || spell.stage !== stage || spell.outcome !== 'done',
  'not-on-route': () => false,
  'owners-yes': ({ why }) => why === '',
  'not-due': ({ missing, stage }) => missing.length === 0 || missing.includes(stage),
  'not-released': () => false,
  'out-of-use': ({ why }) => why === '',
  'last-held': ({ last, by }) => last === '' || by.length === 0,
};

const REFUSALS: { readonly [Is in Refusal['is']]: (why: Extract<Refusal, { is: Is }>) => boolean } = {
  'not-set-up': () => false,
  'badge-first': ({ pair }) => pair === '',
  'unknown-badge': () => false,
  'own-badge': () => false,
  'mixed-pair': ({ card, tag }) => card === tag,
  damaged: ({ code }) => code.text === '',
  foreign: ({ code }) => code.text === '' && code.why !== 'empty',
};

/** Why the answer is none that a bench can stand on, or null. */
function wrongWith(intent: Intent, { scanned, now, situation }: IntentCase): string | null {
  if (!(intent.do in BECOMES)) return 'is no answer of the set';
  const aboutPair = 'pair' in intent || 'begin' in intent;
  if (now.stages.length === 0 && intent.do !== 'enrol' && intent.do !== 'refuse')
    return 'works at a bench without stages';
  if (now.on === null && aboutPair) return 'is about a pair with nobody on';
  if (intent.do === 'refuse') {
    const lacks = REFUSALS[intent.why.is] as (why: Refusal) => boolean;
    return lacks(intent.why) ? 'refuses without what its sentence needs' : null;
  }
  if (intent.do === 'ask') {
    const { question, begin } = intent;
    const lacks = LACKS[question.ask] as (question: Question) => boolean;
    if (lacks(question)) return 'asks without what its sentence needs';
    if (question.stage !== begin.stage) return 'asks about another stage than it begins';
  }
  if ('begin' in intent) {
    const { begin } = intent;
    if (!now.stages.includes(begin.stage)) return 'begins a stage of another bench';
    if (begin.on !== now.on || begin.pair !== scanned.pair) return 'begins for another hand or pair';
  }
  if (intent.do === 'clock-in') {
    const { stage, on } = intent.begin;
    const machine = now.book !== null && ['WLT', 'ETR'].includes(stage);
    if (machine && on !== INES && situation !== 'a hand not released, let past')
      return 'lets a hand onto a machine that it is not released for';
    if (now.outOfUse(stage) !== null && situation !== 'the machine out of use, let past')
      return 'runs a machine that is out of use';
    if (situation.endsWith('with a stop note')) return 'works past a stop note';
  }
  if (intent.do === 'stopped' && intent.by.length === 0) return 'stops for no note';
  if (intent.do === 'see-notes' && intent.unseen.length === 0) return 'shows no note';
  if (intent.do === 'notes-came-in' && intent.unseen.length === 0 && !intent.stopped) return 'shows no note';
  if ('spell' in intent && (intent.spell.bench !== now.bench || intent.spell.by !== now.on))
    return 'ends the work of another bench or hand';
  return null;
}

const told = ({ scan, at, situation, now }: IntentCase) =>
  [scan, at, situation, `on ${now.on}`, now.awaiting.is, now.finding && 'finding', now.card && 'card'].join(
    ', ',
  );

describe('every combination of code, bench, hand, card, and what the pair has behind it', () => {
  test('has one answer, always the same, which makes a record or says what to do', {
    timeout: 120_000,
  }, () => {
    const wrong: string[] = [];
    const met = new Set<string>();
    let asked = 0;
    for (const one of everyCase()) {
      asked += 1;
      const intent = intentOf(one.scanned, one.now);
      const fault = wrongWith(intent, one);
      const again = intentOf(one.scanned, one.now);
      met.add(intentName(intent));
      if (fault !== null) wrong.push(`${told(one)}: ${intentName(intent)} ${fault}`);
      if (!isDeepStrictEqual(again, intent)) wrong.push(`${told(one)}: answers otherwise the second time`);
    }
    expect(wrong.slice(0, 20)).toEqual([]);
    expect(asked).toBe(Object.values(DIMENSIONS).reduce((product, size) => product * size, 1));
    expect([...met].toSorted()).toEqual(everyIntent().map(({ name }) => name));
  });

  test('has each answer, question and refusal of the set among its answers', () => {
    const names = new Set(everyIntent().map(({ name }) => name));
    const all = [
      ...Object.keys(BECOMES).filter((one) => one !== 'ask' && one !== 'refuse'),
      ...Object.keys(QUESTIONS).map((ask) => `ask ${ask}`),
      ...Object.keys(REFUSALS).map((is) => `refuse ${is}`),
    ];
    expect(all.filter((name) => !names.has(name))).toEqual([]);
  });
});
