/** The intent table as a bench hand would tell it; that nothing is left out is held in intent-table.test.ts. */
import { describe, expect, test } from 'vitest';
import type { BeginIntent } from '../../src/domain/begin.ts';
import { asStageCode, type OperativeId } from '../../src/domain/ids.ts';
import { type Awaiting, type Intent, intentOf, stageHere } from '../../src/domain/intent.ts';
import { BENCHES, QUESTIONS, SCANS } from '../support/intent-cases.ts';
import { type SituationName, situation, UNKNOWN_PAIR } from '../support/intent-situations.ts';
import { INES, OTHER_PAIR, PAIR, PIA, RUTH, WORKS } from '../support/intent-works.ts';

type BenchName = keyof typeof BENCHES;
type ScanName = keyof typeof SCANS;

interface Told {
  readonly on?: OperativeId | null;
  readonly awaiting?: Awaiting;
  readonly finding?: boolean;
  readonly card?: boolean;
}

/** What a scan means, in the words of `said`. */
function answerTo(scan: ScanName, name: SituationName, at: BenchName, told: Told = {}): string {
  const { on = INES, awaiting = { is: 'nothing' }, finding = false, card = false } = told;
  const { pair, place } = situation(name, { at: BENCHES[at], me: on ?? INES });
  const now = { ...BENCHES[at], ...place, on, awaiting, finding, card: card ? PAIR : null };
  return said(intentOf({ ...SCANS[scan], pair }, now));
}

function said(intent: Intent): string {
  switch (intent.do) {
    case 'badge-on':
    case 'badge-off':
      return `${intent.do} ${intent.operative}`;
    case 'hand-over':
      return `hand-over ${intent.from} to ${intent.to}`;
    case 'let-through':
    case 'release':
      return `${intent.do} by ${intent.by}`;
    case 'join':
    case 'answer-for':
      return `${intent.do} ${intent.hand}`;
    case 'clock-out':
    case 'final-check':
    case 'boxing':
      return `${intent.do} ${intent.spell.stage}${ofShoe(intent.spell.shoe)}`;
    case 'notes-came-in':
      return `notes came in${intent.stopped ? ', stopped' : ''}: ${intent.unseen.length} not seen`;
    case 'refuse':
      return `refuse ${intent.why.is}`;
    case 'ask':
    case 'stopped':
    case 'show-reminders':
    case 'see-notes':
    case 'clock-in':
      return saidOfBegin(intent);
    default:
      return intent.do;
  }
}

function saidOfBegin(intent: BeginIntent): string {
  const { stage, shoe } = intent.begin;
  const at = `${stage}${ofShoe(shoe)}`;
  if (intent.do === 'clock-in') return `clock in ${at}${intent.unknownPair ? ', pair unknown' : ''}`;
  if (intent.do !== 'ask') return `${intent.do} at ${at}`;
  const { question } = intent;
  const missing = question.ask === 'not-due' ? `, missing ${question.missing.join(' ')}` : '';
  const who = 'spell' in question && question.spell !== null ? `, ${question.spell.by}` : '';
  return `ask ${question.ask} at ${at}${missing}${who}`;
}

const ofShoe = (shoe: string) => (shoe === 'both' ? '' : ` ${shoe}`);

const WELT = 'the welting bench';
const TRIM = 'the trimming bench';

describe('the ticket, held before the scanner by Ines', () => {
  test.each<readonly [SituationName, BenchName, string]>([
    [UNKNOWN_PAIR, WELT, 'clock in WLT, pair unknown'],
    ['worked and never logged', WELT, 'clock in WLT, pair unknown'],
    // The way of the pair.
    ['due here', WELT, 'clock in WLT'],
    ['first stage done here', WELT, 'clock in INT'],
    ['all done here', WELT, 'ask done-already at INT, op-ines'],
    ['done here, nobody scanned', TRIM, 'ask done-already at ETR, null'],
    ['left unfinished here', WELT, 'clock in WLT'],
    ['logged, nothing done', WELT, 'ask not-due at WLT, missing LAS'],
    ['logged, nothing done', TRIM, 'ask not-due at ETR, missing LAY HBL'],
    ['sent back here, left shoe', WELT, 'clock in WLT'],
    ['of a job without this stage', WELT, 'ask not-on-route at WLT'],
    ['said not to need this stage', 'the lasting bench', 'ask not-on-route at LAS'],
    ['said not to need this stage', WELT, 'clock in INT'],
    ['of a job without this stage, asked for', WELT, 'clock in WLT'],
    // Who has it.
    ['open here by me', WELT, 'clock-out WLT'],
    ['open here by another', WELT, 'ask open-by-another at WLT, op-tomasz'],
    ['open here by two hands apart', WELT, 'ask open-by-another at WLT, op-ruth'],
    ['open here by another, I beside', WELT, 'ask open-by-another at WLT, op-tomasz'],
    ['open elsewhere at this stage', WELT, 'ask open-elsewhere at WLT, op-tomasz'],
    ['open elsewhere on the same front', WELT, 'ask open-elsewhere at WLT, op-tomasz'],
    ['open elsewhere beside it', WELT, 'clock in WLT'],
    ['open elsewhere beside it', TRIM, 'ask open-elsewhere at ETR, op-tomasz'],
    // Off the line.
    ['closed', WELT, 'ask closed at WLT'],
    ['set aside', WELT, 'ask set-aside at WLT'],
    ['taken up again', WELT, 'clock in WLT'],
    ['the owner has said stop', WELT, 'ask returned-in-parts at WLT'],
    ['with everything against it', WELT, 'ask closed at WLT'],
    // The owner's yes.
    ['due here, the owner asked', WELT, 'ask owners-yes at WLT'],
    ['due here, the owner asked again', WELT, 'ask owners-yes at WLT'],
    ['due here, the owner not asked', WELT, 'clock in WLT'],
    ['due here, the owner has said go on', WELT, 'clock in WLT'],
    // One shoe alone.
    ['parted', WELT, 'ask which-shoe at WLT'],
    ['parted', TRIM, 'ask parted at ETR'],
    ['parted, let past', TRIM, 'ask which-shoe at ETR'],
    ['parted and rejoined', TRIM, 'clock in ETR'],
    ['parted, the left one open here by me', WELT, 'clock-out WLT left'],
    // Notes, reminders, machines and lasts.
    ['with a stop note', WELT, 'stopped at WLT'],
    ['with a stop note released', WELT, 'see-notes at WLT'],
    ['with a stop note cured', WELT, 'clock in WLT'],
    ['with a note not seen', WELT, 'see-notes at WLT'],
    ['with a note that I have seen here', WELT, 'clock in WLT'],
    ['open here by me, a note came in', WELT, 'notes came in: 1 not seen'],
    ['open here by me, a stop note came in', WELT, 'notes came in, stopped: 1 not seen'],
    ['due here, where reminders have to be shown', WELT, 'show-reminders at WLT'],
    ['due here, where the machine is out of use', WELT, 'ask out-of-use at WLT'],
    ['due here, where another pair has the lasts', 'the lasting bench', 'ask last-held at LAS'],
    ['due here, where another pair has the lasts', WELT, 'clock in WLT'],
    ['due here, where the book has not come', WELT, 'clock in WLT'],
    // Let past by a named person.
    ['not due, let past', WELT, 'clock in WLT'],
    ['the owner asked, let past', WELT, 'clock in WLT'],
    ['the machine out of use, let past', WELT, 'clock in WLT'],
    ['of a job without this stage, let past', WELT, 'clock in WLT'],
    ['let past, and done since', WELT, 'ask not-due at WLT, missing LAS'],
    // The last benches end with questions of their own.
    ['open here by me', 'the check', 'final-check CHK'],
    ['open here by me', 'the box bench', 'boxing BOX'],
  ])('%s, at %s: %s', (name, at, answer) => {
    expect(answerTo('the ticket', name, at)).toBe(answer);
  });
});

describe('a tag of one shoe', () => {
  test.each<readonly [ScanName, SituationName, BenchName, string]>([
    ['the left tag', 'due here', WELT, 'clock in WLT'],
    ['the left tag', 'open here by me', WELT, 'clock-out WLT'],
    ['the left tag', 'parted', WELT, 'clock in WLT left'],
    ['the left tag', 'parted', TRIM, 'ask parted at ETR left'],
    ['the left tag', 'parted, the left one open here by me', WELT, 'clock-out WLT left'],
    ['the right tag', 'parted, the left one open here by me', WELT, 'clock in WLT right'],
    ['the right tag', 'parted, the left one open elsewhere', WELT, 'clock in WLT right'],
    [
      'the left tag',
      'parted, the left one open elsewhere',
      WELT,
      'ask open-elsewhere at WLT left, op-tomasz',
    ],
    ['the left tag', 'parted, the left one done', WELT, 'clock in INT left'],
    ['the right tag', 'parted, the left one done', WELT, 'clock in WLT right'],
    [
      'the left tag',
      'parted, the left one done',
      'the lasting bench',
      'ask done-already at LAS left, op-tomasz',
    ],
  ])('%s, %s, at %s: %s', (scan, name, at, answer) => {
    expect(answerTo(scan, name, at)).toBe(answer);
  });

  test('that the box waits for matches, and one of another pair never does', () => {
    const told = (pair: typeof PAIR): Told => ({ awaiting: { is: 'tag', pair } });
    const at = 'the box bench';
    expect(answerTo('the right tag', 'open here by me', at, told(PAIR))).toBe('tag-matches');
    expect(answerTo('the right tag', 'open here by me', at, told(OTHER_PAIR))).toBe('refuse mixed-pair');
    expect(answerTo('the ticket', 'open here by me', at, told(PAIR))).toBe('boxing BOX');
  });
});

describe('a hand who is not released for the machine', () => {
  const asked: Told = { on: PIA, awaiting: { is: 'question', question: QUESTIONS['not-released'] } };

  test('is asked for somebody who is, and at a stage without a machine is not', () => {
    expect(answerTo('the ticket', 'due here', WELT, { on: PIA })).toBe('ask not-released at WLT');
    expect(answerTo('the ticket', 'due here', 'the lasting bench', { on: PIA })).toBe('clock in LAS');
    expect(answerTo('the ticket', 'first stage done here', WELT, { on: PIA })).toBe('clock in INT');
  });

  test.each<readonly [ScanName, string]>([
    ['the badge of Tomasz, released', 'answer-for op-tomasz'],
    ['the badge of Ruth, supervisor', 'let-through by op-ruth'],
    ['the badge of Pia, not released', 'badge-off op-pia'],
    ['an unknown badge', 'refuse unknown-badge'],
  ])('and then comes %s: %s', (scan, answer) => {
    expect(answerTo(scan, 'due here', WELT, asked)).toBe(answer);
  });

  test('works once a supervisor has let the pair past, and no supervisor lets herself', () => {
    expect(answerTo('the ticket', 'a hand not released, let past', WELT, { on: PIA })).toBe('clock in WLT');
    expect(answerTo('the badge of Ruth, supervisor', 'due here', WELT, { ...asked, on: RUTH })).toBe(
      'refuse own-badge',
    );
  });

  test('is not asked again about what a supervisor let past, unless the machine is another', () => {
    const { pair, place } = situation('the machine out of use, let past', { at: BENCHES[WELT], me: INES });
    const now = {
      ...BENCHES[WELT],
      ...place,
      on: INES,
      awaiting: { is: 'nothing' } as const,
      finding: false,
    };
    const scan = { ...SCANS['the ticket'], pair };
    expect(said(intentOf(scan, { ...now, card: null }))).toBe('clock in WLT');
    expect(said(intentOf(scan, { ...now, card: null, bench: BENCHES[TRIM].bench }))).toBe(
      'ask out-of-use at WLT',
    );
  });
});

describe('a badge', () => {
  const question = (ask: keyof typeof QUESTIONS): Awaiting => ({ is: 'question', question: QUESTIONS[ask] });

  test.each<readonly [ScanName, Told, string]>([
    ['the badge of Ines, released', { on: null }, 'badge-on op-ines'],
    ['the badge of Ines, released', {}, 'badge-off op-ines'],
    ['the badge of Tomasz, released', {}, 'hand-over op-ines to op-tomasz'],
    ['an unknown badge', { on: null }, 'refuse unknown-badge'],
    // Two hands on one pair.
    ['the badge of Tomasz, released', { awaiting: { is: 'second-hand' } }, 'join op-tomasz'],
    ['the badge of Ines, released', { awaiting: { is: 'second-hand' } }, 'refuse own-badge'],
    // A supervisor lets past what can be let past, and nothing else.
    ['the badge of Ruth, supervisor', { awaiting: question('not-due') }, 'let-through by op-ruth'],
    ['the badge of Ruth, supervisor', { awaiting: question('owners-yes') }, 'let-through by op-ruth'],
    ['the badge of Ruth, supervisor', { awaiting: question('parted') }, 'let-through by op-ruth'],
    ['the badge of Ruth, supervisor', { awaiting: question('not-due'), on: RUTH }, 'let-through by op-ruth'],
    ['the badge of Ruth, supervisor', { awaiting: question('closed') }, 'hand-over op-ines to op-ruth'],
    ['the badge of Tomasz, released', { awaiting: question('not-due') }, 'hand-over op-ines to op-tomasz'],
    ['the badge of Ruth, supervisor', { awaiting: { is: 'release' } }, 'release by op-ruth'],
    ['the badge of Tomasz, released', { awaiting: { is: 'release' } }, 'hand-over op-ines to op-tomasz'],
  ])('%s %j: %s', (scan, told, answer) => {
    expect(answerTo(scan, 'due here', WELT, told)).toBe(answer);
  });

  test('at a bench that is not set up is refused', () => {
    expect(answerTo('the badge of Ines, released', 'due here', 'a new tablet')).toBe('refuse not-set-up');
  });
});

describe('what is neither ticket nor badge', () => {
  test('a rack takes the pair on the card, and is opened without one', () => {
    expect(answerTo('a rack', 'due here', WELT, { card: true })).toBe('rack-pair');
    expect(answerTo('a rack', 'due here', WELT)).toBe('open-rack');
    expect(answerTo('a rack', 'due here', WELT, { on: null })).toBe('refuse badge-first');
  });

  test('a ticket in finding is only found, whoever has it open', () => {
    expect(answerTo('the ticket', 'open here by me', WELT, { finding: true })).toBe('found-here');
  });

  test.each<readonly [ScanName, string]>([
    ['a set-up code', 'enrol'],
    ['a damaged ticket', 'refuse damaged'],
    ['a shopping code', 'refuse foreign'],
  ])('%s is %s at any bench', (scan, answer) => {
    for (const at of ['a new tablet', WELT] as const) expect(answerTo(scan, 'due here', at)).toBe(answer);
  });
});

describe('the stage that a pair is here for', () => {
  const here = (name: SituationName, stages: string) =>
    stageHere(situation(name, { at: BENCHES[WELT], me: INES }).pair, 'both', {
      stages: stages.split(' ').map(asStageCode),
      book: WORKS,
    });

  test('is one that can begin, before one that something is missing for', () => {
    expect(here('logged, nothing done', 'LAS RIB')).toBe('RIB');
  });

  test('is one that is only done if needed, until what stands on it is done', () => {
    expect(here('due here', 'CLO LAS')).toBe('LAS');
    expect(here('logged, nothing done', 'CLO')).toBe('CLO');
    expect(here('of a job without this stage', 'CLO HBL')).toBe('HBL');
  });

  test('is the same hand’s next one, once the first is done', () => {
    expect(here('first stage done here', 'WLT INT')).toBe('INT');
  });
});
