/** What a bar is made of, and the few things that all bars ask of a view. */
import { hasSeen, notesFor, stops } from '../../domain/fold/notes.ts';
import type { NoteState } from '../../domain/fold/pair-state.ts';
import type { OperativeId, StageCode } from '../../domain/ids.ts';
import { actions } from '../../words/bench.ts';
import type { Line } from '../../words/line.ts';
import type { Acts } from './acts.ts';
import type { PairCard, View } from './screen.ts';

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

const SHAPES: Readonly<Record<Tone, Shape>> = {
  calm: 'ring',
  go: 'tick',
  mind: 'disc',
  ask: 'diamond',
  stop: 'octagon',
};

export const toBench: BarButton = { label: actions.toBench, act: (acts) => acts.leave() };

export function rackName({ book }: Pick<View, 'book'>, rack: string): string {
  return book?.racks.find((one) => one.rack === rack)?.name ?? rack;
}

/** The notes that whoever is on has not seen at the card's stage; more can come in while the pair is worked. */
export function unseenNotes({ pair, stage }: PairCard, on: OperativeId | null): readonly NoteState[] {
  return pair === null || on === null
    ? []
    : notesFor(pair, stage).filter((note) => !hasSeen(note, on, stage));
}

/** Whether a note on the pair stops all work on it. */
export function isStopped({ pair }: PairCard): boolean {
  return pair?.notes.some(stops) ?? false;
}

export function stageName(view: Pick<View, 'book'>, stage: StageCode): string {
  return view.book?.stages.find(({ code }) => code === stage)?.name ?? stage;
}

export function bar(tone: Tone, line: Line, buttons: readonly BarButton[] = []): Bar {
  return { tone, shape: SHAPES[tone], line, buttons };
}

/** Work has begun and is not done: the colour of *done*, with a shape of its own. */
export function begun(line: Line, buttons: readonly BarButton[]): Bar {
  return { ...bar('go', line, buttons), shape: 'begun' };
}

/** What can be done without a card. */
export function readyButtons(view: View): readonly BarButton[] {
  if (view.finding) return [{ label: actions.endFinding, act: (acts) => acts.finding(false), strong: true }];
  const mine = view.open.filter(({ by }) => by === view.on?.id).length;
  return [
    ...(mine > 1 ? [{ label: actions.allDone, act: (acts: Acts) => acts.allDone() }] : []),
    { label: actions.find, act: (acts) => acts.finding(true) },
  ];
}
