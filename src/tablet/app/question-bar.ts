/** The bar's question before a pair can be begun, with its answers. */
import type { PairId } from '../../domain/ids.ts';
import { nameOf } from '../../domain/site-book.ts';
import { actions } from '../../words/bench.ts';
import { when } from '../../words/format.ts';
import { jobNames } from '../../words/names.ts';
import { answerLabels, questionLines, type Told, yesLabels } from '../../words/questions.ts';
import type { Acts, Answer } from './acts.ts';
import { type Bar, type BarButton, bar, stageName, type Tone } from './bar-parts.ts';
import { canBeTold, endCanBeTold } from './late.ts';
import type { Moment, View } from './screen.ts';

type Asked = Extract<Moment, { is: 'asked' }>;

export function questionBar(pair: PairId, { question }: Asked, view: View): Bar {
  const line = questionLines[question.ask](toldOf(pair, question, view));
  return bar(toneOf(question), line, answersTo(question, view));
}

function toneOf({ ask }: Asked['question']): Tone {
  return ask === 'out-of-use' || ask === 'not-released' || ask === 'returned-in-parts' ? 'stop' : 'ask';
}

function answersTo(question: Asked['question'], { book }: View): readonly BarButton[] {
  const button = (label: string, answer: Answer, strong = false): BarButton => ({
    label,
    act: (acts) => acts.answer(answer),
    strong,
  });
  const leave: BarButton = { label: actions.leave, act: (acts) => acts.leave() };
  const found: BarButton = { label: answerLabels.onlyFound, act: (acts) => acts.foundThis() };
  const setAside: BarButton = { label: actions.setAside, act: (acts) => acts.choose({ is: 'set-aside' }) };
  const yes = yesLabels[question.ask];
  const goOn = yes === undefined ? [] : [button(yes, 'yes', true)];
  switch (question.ask) {
    case 'open-by-another':
      return [...goOn, button(answerLabels.takeOn, 'take-on'), button(answerLabels.beside, 'beside'), leave];
    case 'open-elsewhere':
      return [
        ...goOn,
        ...(endCanBeTold(question.spell.stage, book) ? [button(answerLabels.ended, 'ended')] : []),
        found,
        leave,
      ];
    case 'parted':
      return [button(answerLabels.together, 'together', true), found, leave];
    case 'which-shoe':
      return [
        button(answerLabels.left, 'left'),
        button(answerLabels.right, 'right'),
        button(answerLabels.together, 'together'),
        leave,
      ];
    case 'not-due':
      return [
        ...(question.missing.some((stage) => book === null || canBeTold(stage, book))
          ? [{ label: answerLabels.late, act: (acts: Acts) => acts.choose({ is: 'late' }) }]
          : []),
        found,
        { ...leave, label: actions.notThisPair },
      ];
    case 'owners-yes':
      return [setAside, found, leave];
    case 'not-on-route':
      return [found, { ...leave, label: actions.notThisPair }];
    default:
      return [...goOn, found, leave];
  }
}

function toldOf(pair: PairId, question: Asked['question'], view: View): Told {
  const { book, now } = view;
  const zone = book?.timeZone ?? 'UTC';
  const spell = 'spell' in question ? question.spell : null;
  const name = (book === null || spell === null ? null : nameOf(book, spell.by)) ?? 'Somebody';
  return {
    stage: stageName(view, question.stage),
    who: spell === null ? '' : name,
    since:
      spell === null ? '' : when(spell.outcome === 'open' ? spell.from : (spell.to ?? spell.from), now, zone),
    place: book?.benches.find(({ bench }) => bench === spell?.bench)?.name ?? 'another bench',
    reason: reasonOf(question),
    stages: question.ask === 'not-due' ? question.missing.map((stage) => stageName(view, stage)) : [],
    job: question.ask === 'not-on-route' ? jobNames[question.job] : '',
    pair: question.ask === 'last-held' ? question.by : pair,
    shoe: 'shoe' in question ? question.shoe : 'left',
    ask: book?.ask ?? 'the supervisor',
  };
}

function reasonOf(question: Asked['question']): string {
  switch (question.ask) {
    case 'set-aside':
      return question.reason;
    case 'owners-yes':
    case 'out-of-use':
      return question.why ?? '';
    default:
      return '';
  }
}
