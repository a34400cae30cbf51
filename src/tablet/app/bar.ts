/**
 * The bar at the foot: the one line that rules the page. What it says follows from the view alone, so that it can be
 * tested as a table.
 */
import { hasSeen, type NoteState, notesFor } from '../../domain/fold/pair.ts';
import type { OperativeId, StageCode } from '../../domain/ids.ts';
import { MINUTE_MS } from '../../domain/instant.ts';
import { nameOf } from '../../domain/site-book.ts';
import { actions, bench, questions, troubles } from '../../words/bench.ts';
import { clockTime, length, when } from '../../words/format.ts';
import type { Line } from '../../words/line.ts';
import { refusalLine, scannerLines } from '../../words/scans.ts';
import type { Acts } from './acts.ts';
import type { Hint, PairCard, View } from './screen.ts';

export type Tone = 'calm' | 'go' | 'mind' | 'ask' | 'stop';
/** The bar's shape says the same as its colour and its words. */
export type Shape = 'ring' | 'begun' | 'tick' | 'disc' | 'diamond' | 'octagon';

export interface BarButton {
  readonly label: string;
  readonly act: (acts: Acts) => void;
  readonly strong?: boolean;
}

export interface Bar {
  readonly tone: Tone;
  readonly shape: Shape;
  readonly line: Line;
  readonly buttons: readonly BarButton[];
}

/** For so long after a clock-out its other endings are offered. */
export const OFFER_MS = 10_000;
/** For so long an act can still be undone from its card. */
export const UNDO_MS = MINUTE_MS;

const SHAPES: Readonly<Record<Tone, Shape>> = {
  calm: 'ring',
  go: 'tick',
  mind: 'disc',
  ask: 'diamond',
  stop: 'octagon',
};

const leave: BarButton = { label: actions.leave, act: (acts) => acts.leave() };
const toBench: BarButton = { label: actions.toBench, act: (acts) => acts.leave() };
const undo: BarButton = { label: actions.undo, act: (acts) => acts.undo() };
const notFinished: BarButton = { label: actions.notFinished, act: (acts) => acts.notFinished() };
const setAside: BarButton = { label: actions.setAside, act: (acts) => acts.choose('set-aside') };
const sendBack: BarButton = { label: actions.sendBack, act: (acts) => acts.choose('send-back') };

export function barOf(view: View): Bar {
  if (view.unrecorded !== null) {
    return bar('stop', troubles[view.unrecorded] ?? bench.nobodyOn, [
      { label: actions.tryAgain, act: (acts) => acts.tryAgain(), strong: true },
      { label: actions.giveUp, act: (acts) => acts.giveUp() },
    ]);
  }
  if (view.hint !== null) return hintBar(view.hint, view);
  const { screen } = view;
  switch (screen.is) {
    case 'starting':
      return bar('calm', { says: 'Starting', next: '' });
    case 'broken':
      return bar('stop', troubles[screen.trouble] ?? bench.nobodyOn);
    case 'enrol':
      return bar(
        screen.state === 'waiting' || screen.state === 'asking' ? 'calm' : 'mind',
        bench.enrol[screen.state],
      );
    case 'nobody-on':
      return bar('calm', bench.nobodyOn);
    case 'ready':
      return bar('calm', bench.ready(view.open.length));
    case 'settings':
      return bar('calm', { says: 'Bench settings', next: '' }, view.stages.length > 0 ? [toBench] : []);
    case 'card':
      return cardBar(screen.card, view);
  }
}

function cardBar(card: PairCard, view: View): Bar {
  if (card.choosing === 'set-aside') return bar('ask', bench.chooseReason, [chosenNothing]);
  if (card.choosing === 'send-back') return bar('ask', bench.chooseStage, [chosenNothing]);
  const zone = view.book?.timeZone ?? 'UTC';
  const { moment } = card;
  const age = view.now - moment.at;
  const undoable = age < UNDO_MS ? [undo] : [];
  const unseen = unseenNotes(card, view.on?.id ?? null).length;
  switch (moment.is) {
    case 'clocked-in':
      if (unseen > 0) return bar('mind', bench.noteCameIn(unseen), [notFinished, sendBack, setAside]);
      return begun(bench.clockedIn(clockTime(moment.at, zone)), [
        notFinished,
        sendBack,
        setAside,
        ...undoable,
      ]);
    case 'open':
      if (unseen > 0)
        return bar('mind', bench.noteCameIn(unseen), [notFinished, sendBack, setAside, toBench]);
      return begun(bench.stillOpen(when(moment.spell.from, view.now, zone)), [
        { label: actions.clockOut, act: (acts) => acts.finish(), strong: true },
        notFinished,
        sendBack,
        setAside,
        toBench,
      ]);
    case 'clocked-out': {
      const line = bench.clockedOut(
        clockTime(moment.at, zone),
        length((moment.spell.to ?? moment.at) - moment.spell.from),
      );
      const offers = age < OFFER_MS ? [notFinished, sendBack, setAside] : [];
      return bar('go', line, [...offers, ...undoable, ...(offers.length === 0 ? [toBench] : [])]);
    }
    case 'not-finished':
      return bar('calm', bench.notFinished, [...undoable, toBench]);
    case 'set-aside':
      return bar('mind', bench.setAside(moment.reason), [...undoable, toBench]);
    case 'sent-back':
      return bar('mind', bench.sentBack(stageName(view, moment.to)), [...undoable, toBench]);
    case 'see-notes':
      return bar('mind', bench.seeNotes(unseen), [{ ...leave, label: actions.notThisPair }, setAside]);
    case 'stopped':
      return bar('stop', bench.stopped(view.book?.ask ?? ''), [
        { ...leave, label: actions.notThisPair },
        setAside,
      ]);
    case 'asked':
      return questionBar(card, view);
  }
}

const chosenNothing: BarButton = { label: actions.back, act: (acts) => acts.choose(null) };

function questionBar(card: PairCard, view: View): Bar {
  if (card.moment.is !== 'asked') throw new Error('a question was to be shown where none was asked');
  const { question } = card.moment;
  const { book, now } = view;
  const zone = book?.timeZone ?? 'UTC';
  const name = (by: Parameters<typeof nameOf>[1]) => (book === null ? null : nameOf(book, by)) ?? 'Somebody';
  const asked = (): { readonly line: Line; readonly yes: string; readonly other: string | null } => {
    switch (question.ask) {
      case 'open-by-another':
        return questions['open-by-another'](name(question.spell.by), when(question.spell.from, now, zone));
      case 'open-elsewhere': {
        const place = book?.benches.find(({ bench: id }) => id === question.spell.bench)?.name;
        return questions['open-elsewhere'](place ?? 'another bench', name(question.spell.by));
      }
      case 'done-already': {
        const { spell } = question;
        const who = spell === null ? '' : `${name(spell.by)}, ${when(spell.to ?? spell.from, now, zone)}`;
        return questions['done-already'](stageName(view, question.stage), who);
      }
      case 'set-aside':
        return questions['set-aside'](question.reason);
      case 'closed':
        return questions.closed();
    }
  };
  const { line, yes, other } = asked();
  const buttons: BarButton[] = [{ label: yes, act: (acts) => acts.answerYes(), strong: true }];
  if (other !== null) buttons.push({ label: other, act: (acts) => acts.takeOn() });
  return bar('ask', line, [...buttons, leave]);
}

function hintBar(hint: Hint, view: View): Bar {
  switch (hint.is) {
    case 'badged-on':
      return bar('go', bench.badgedOn(hint.name));
    case 'badged-off':
      return bar('calm', bench.badgedOff(hint.name));
    case 'handed-over':
      return bar('go', bench.handedOver(hint.from, hint.to, hint.open));
    case 'undone':
      return bar('calm', bench.undone, [toBench]);
    case 'wrong-layout':
      return bar('stop', scannerLines[hint.layout]);
    case 'scanner-keys':
    case 'scanner-cut-short':
      return bar('stop', scannerLines[hint.is]);
    case 'set-up-in-settings':
      return bar('mind', bench.setUpInSettings);
    case 'reading-in':
      return bar('mind', bench.readingIn);
    case 'several-codes':
    case 'still-in-view':
      return bar('mind', scannerLines[hint.is]);
    case 'refused': {
      const { why } = hint;
      const calm = why.is === 'badge-first' || why.is === 'not-set-up';
      const typeIt: BarButton = { label: actions.typeIt, act: (acts) => acts.keypad(true) };
      return bar(
        calm ? 'mind' : 'stop',
        refusalLine(why, view.book?.ask ?? 'the supervisor'),
        why.is === 'damaged' ? [typeIt] : [],
      );
    }
  }
}

/** The notes that whoever is on has not seen at the card's stage; more can come in while the pair is worked. */
export function unseenNotes({ pair, stage }: PairCard, on: OperativeId | null): readonly NoteState[] {
  return pair === null || on === null
    ? []
    : notesFor(pair, stage).filter((note) => !hasSeen(note, on, stage));
}

export function stageName(view: Pick<View, 'book'>, stage: StageCode): string {
  return view.book?.stages.find(({ code }) => code === stage)?.name ?? stage;
}

function bar(tone: Tone, line: Line, buttons: readonly BarButton[] = []): Bar {
  return { tone, shape: SHAPES[tone], line, buttons };
}

/** Work has begun and is not done: the colour of *done*, with a shape of its own. */
function begun(line: Line, buttons: readonly BarButton[]): Bar {
  return { ...bar('go', line, buttons), shape: 'begun' };
}
