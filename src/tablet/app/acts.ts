/** Everything that a tap can do, handed to the pages. */
import type { PairId, RecordId, StageCode } from '../../domain/ids.ts';
import type { OneShoe, Shoe, Weight } from '../../domain/record/kinds.ts';
import type { Choosing } from './screen.ts';

export interface CameraView {
  readonly is: 'off' | 'starting' | 'live' | 'refused' | 'none' | 'busy' | 'lost';
  /** Whether the lamp can be lit, and is. */
  readonly lamp: 'none' | 'off' | 'on';
  /** Which decoder is at work, for the settings page. */
  readonly decoder: string | null;
}

/** Answers to the card's question, other than leaving it. */
export type Answer = 'yes' | 'take-on' | 'beside' | 'together' | 'ended' | OneShoe;

/** What became of work that nobody clocked out. */
export type Forgotten = 'done-then' | 'done-now' | 'going-on';

/** A note as it is placed at a bench: a zone, a defect, and what follows from the catalogue. */
export interface NewNote {
  readonly shoe: Shoe;
  readonly zone: string | null;
  readonly side: 'inside' | 'outside' | null;
  readonly defect: string | null;
  readonly weight: Weight;
  readonly text: string;
  readonly seeAt: readonly StageCode[];
  readonly cureAt: readonly StageCode[];
}

/** Where a pair goes back to, and what is done again there. */
export interface Back {
  readonly to: StageCode;
  readonly shoe: Shoe;
  readonly fault: string | null;
  readonly reason: string;
  /** What the catalogue says is done again; null leaves it to the route. */
  readonly again: readonly StageCode[] | null;
}

export interface Acts {
  readonly seen: (note: RecordId) => void;
  readonly cured: (note: RecordId) => void;
  readonly looked: () => void;
  readonly finish: () => void;
  readonly notFinished: () => void;
  readonly forgotten: (was: Forgotten) => void;
  readonly setAside: (reason: string) => void;
  readonly sendBack: (back: Back) => void;
  readonly undo: () => void;
  readonly nextStage: () => void;
  readonly choose: (choosing: Choosing | null) => void;
  readonly openPair: (pair: PairId) => void;
  readonly answer: (answer: Answer) => void;
  readonly late: (why: string) => void;
  readonly letThrough: (why: string) => void;
  readonly notNeeded: (stage: StageCode) => void;
  readonly needed: () => void;
  readonly machineBack: (stage: StageCode) => void;
  readonly release: (why: string) => void;
  readonly part: (shoe: OneShoe) => void;
  readonly machineStopped: (why: string) => void;
  readonly note: (note: NewNote) => void;
  /** Opens the device's camera or pictures to choose a photograph of this pair. */
  readonly askPicture: () => void;
  readonly tick: (what: 'probe' | 'board' | { readonly thing: string }) => void;
  readonly tagByEye: () => void;
  readonly pass: (why: string | null) => void;
  readonly box: (why: string | null) => void;
  readonly allDone: () => void;
  readonly rackIn: () => void;
  readonly rackOut: () => void;
  readonly finding: (finding: boolean) => void;
  readonly foundThis: () => void;
  readonly leave: () => void;
  readonly tryAgain: () => void;
  readonly giveUp: () => void;
  readonly keypad: (open: boolean) => void;
  readonly typed: (text: string) => void;
  readonly settings: () => void;
  readonly setStages: (stages: readonly StageCode[]) => void;
  readonly updateNow: () => void;
  readonly startCamera: () => void;
  readonly lamp: (on: boolean) => void;
  readonly cameraElement: (video: HTMLVideoElement | null) => void;
}
