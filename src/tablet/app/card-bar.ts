/** What the bar says of the pair on the card, and what can be done to it from there. */
import { MINUTE_MS } from '../../domain/instant.ts';
import { nameOf } from '../../domain/site-book.ts';
import { actions, bench } from '../../words/bench.ts';
import { clockTime, length, when } from '../../words/format.ts';
import { capital } from '../../words/line.ts';
import { shoeNames } from '../../words/names.ts';
import { supervisorLines } from '../../words/questions.ts';
import {
  type Bar,
  type BarButton,
  bar,
  begun,
  isStopped,
  stageName,
  toBench,
  unseenNotes,
} from './bar-parts.ts';
import { questionBar } from './question-bar.ts';
import type { Choosing, Moment, PairCard, View } from './screen.ts';

/** For so long after a clock-out its other endings are offered. */
export const OFFER_MS = 10_000;
/** For so long an act can still be undone from its card. */
export const UNDO_MS = MINUTE_MS;

const leave: BarButton = { label: actions.notThisPair, act: (acts) => acts.leave() };
const undo: BarButton = { label: actions.undo, act: (acts) => acts.undo() };
const notFinished: BarButton = { label: actions.notFinished, act: (acts) => acts.notFinished() };
const setAside: BarButton = { label: actions.setAside, act: (acts) => acts.choose({ is: 'set-aside' }) };
const sendBack: BarButton = {
  label: actions.sendBack,
  act: (acts) => acts.choose({ is: 'send-back', shoe: 'both' }),
};
const addNote: BarButton = { label: actions.addNote, act: (acts) => acts.choose({ is: 'note' }) };
const more: BarButton = { label: actions.more, act: (acts) => acts.choose({ is: 'more' }) };
const back: BarButton = { label: actions.back, act: (acts) => acts.choose(null) };
const clockOut: BarButton = { label: actions.clockOut, act: (acts) => acts.finish(), strong: true };

const doneThen: BarButton = {
  label: actions.doneThen,
  act: (acts) => acts.forgotten('done-then'),
  strong: true,
};
const forgottenAnswers: readonly BarButton[] = [
  { label: actions.doneNow, act: (acts) => acts.forgotten('done-now') },
  { label: actions.goingOn, act: (acts) => acts.forgotten('going-on') },
  notFinished,
];

export function cardBar(card: PairCard, view: View): Bar {
  const { moment, choosing } = card;
  if (choosing !== null) return choosingBar(choosing, card, view);
  const zone = view.book?.timeZone ?? 'UTC';
  const age = view.now - moment.at;
  const undoable = age < UNDO_MS ? [undo] : [];
  switch (moment.is) {
    case 'clocked-in':
      return (
        newsBar(card, view) ??
        begun(bench.clockedIn(clockTime(moment.at, zone)), [notFinished, addNote, more, ...undoable])
      );
    case 'forgotten':
      return bar('ask', bench.forgotten(when(moment.spell.from, view.now, zone)), [
        ...(endsWithQuestions(card, view) ? [] : [doneThen]),
        ...forgottenAnswers,
        toBench,
      ]);
    case 'open':
      return (
        newsBar(card, view) ??
        begun(bench.stillOpen(when(moment.spell.from, view.now, zone)), [
          ...(endsWithQuestions(card, view) ? [] : [clockOut]),
          notFinished,
          addNote,
          more,
          toBench,
        ])
      );
    case 'clocked-out':
      return clockedOutBar(moment, age, undoable, view);
    case 'not-finished':
      return bar('calm', bench.notFinished, [...undoable, toBench]);
    case 'set-aside':
      return bar('mind', bench.setAside(capital(moment.reason)), [...undoable, toBench]);
    case 'sent-back': {
      const shoe = moment.shoe === 'both' ? null : capital(shoeNames[moment.shoe]);
      return bar('mind', bench.sentBack(stageName(view, moment.to), shoe), [...undoable, toBench]);
    }
    case 'reminders':
      return bar('mind', bench.reminders, [
        { label: actions.looked, act: (acts) => acts.looked(), strong: true },
        leave,
      ]);
    case 'see-notes': {
      const unseen = unseenNotes(card, view.on?.id ?? null).length;
      return bar('mind', bench.seeNotes(unseen), [leave, setAside]);
    }
    case 'stopped':
      return bar('stop', bench.stopped(view.book?.ask ?? ''), [leave, setAside]);
    case 'asked':
      return questionBar(card.id, moment, view);
    case 'checking': {
      if (isStopped(card)) return stopBar(view);
      const ready = moment.probe && moment.board;
      const pass: BarButton = { label: actions.pass, act: (acts) => acts.pass(null), strong: true };
      return bar('ask', bench.checking(ready), [...(ready ? [pass] : []), sendBack, addNote, notFinished]);
    }
    case 'boxing': {
      if (isStopped(card)) return stopBar(view);
      const boxed: BarButton = { label: actions.boxed, act: (acts) => acts.box(null), strong: true };
      const byEye: BarButton = { label: actions.tagByEye, act: (acts) => acts.tagByEye() };
      return bar('ask', bench.boxing(moment.tag !== null), [
        moment.tag === null ? byEye : boxed,
        sendBack,
        notFinished,
      ]);
    }
  }
}

function stopBar({ book }: View): Bar {
  return bar('stop', bench.stopCameIn(book?.ask ?? ''), [notFinished, setAside]);
}

/** A note that came in while the pair is worked, before anything else is said of it. */
function newsBar(card: PairCard, view: View): Bar | null {
  if (isStopped(card)) return stopBar(view);
  const unseen = unseenNotes(card, view.on?.id ?? null).length;
  return unseen === 0 ? null : bar('mind', bench.noteCameIn(unseen), [notFinished, sendBack, setAside]);
}

function clockedOutBar(
  moment: Extract<Moment, { is: 'clocked-out' }>,
  age: number,
  undoable: readonly BarButton[],
  view: View,
): Bar {
  const { spell, next, at } = moment;
  const line = bench.clockedOut(
    clockTime(at, view.book?.timeZone ?? 'UTC'),
    length((spell.to ?? at) - spell.from),
  );
  const goOn: readonly BarButton[] =
    next === null
      ? []
      : [{ label: actions.onTo(stageName(view, next)), act: (acts) => acts.nextStage(), strong: true }];
  // One row of buttons, so that the card above stays whole.
  const offers = age < OFFER_MS ? [notFinished, ...(next === null ? [sendBack] : []), more] : [];
  return bar('go', line, [...goOn, ...offers, ...undoable, ...(offers.length === 0 ? [toBench] : [])]);
}

function choosingBar(choosing: Choosing, card: PairCard, view: View): Bar {
  const name = (by: Parameters<typeof nameOf>[1]) =>
    (view.book === null ? null : nameOf(view.book, by)) ?? '';
  switch (choosing.is) {
    case 'more':
      return bar('calm', bench.more, [back]);
    case 'set-aside':
      return bar('ask', bench.chooseReason, [back]);
    case 'send-back':
      return bar('ask', bench.chooseStage, [back]);
    case 'part':
      return bar('ask', bench.chooseShoe, [back]);
    case 'machine':
      return bar('ask', bench.whyMachine, [back]);
    case 'second-hand':
      return bar('ask', bench.secondHand, [back]);
    case 'reminders':
      return bar('calm', bench.allReminders, [back]);
    case 'late':
      return bar('ask', bench.whyLate, [back]);
    case 'let-through':
      return bar('ask', supervisorLines.title(name(choosing.by)), [back]);
    case 'release':
      return bar('ask', supervisorLines.release(name(choosing.by)), [back]);
    case 'pass-open':
      return bar('ask', card.moment.is === 'boxing' ? bench.whyBox : bench.whyPass, [back]);
    case 'note':
      return bar('ask', bench.placeNote, [back]);
  }
}

/** The final check and boxing end by a scan that asks what was felt for and what goes back. */
function endsWithQuestions({ stage }: PairCard, { book }: View): boolean {
  return book !== null && (stage === book.ways.check || stage === book.ways.box);
}
