/** Everything that a tap can do, handed to the pages. */
import type { PairId, RecordId, StageCode } from '../../domain/ids.ts';
import type { PairCard } from './screen.ts';

export interface CameraView {
  readonly is: 'off' | 'starting' | 'live' | 'refused' | 'none' | 'busy' | 'lost';
  /** Whether the lamp can be lit, and is. */
  readonly lamp: 'none' | 'off' | 'on';
  /** Which decoder is at work, for the settings page. */
  readonly decoder: string | null;
}

export interface Acts {
  readonly seen: (note: RecordId) => void;
  readonly finish: () => void;
  readonly notFinished: () => void;
  readonly setAside: (reason: string) => void;
  readonly sendBack: (to: StageCode, reason: string) => void;
  readonly undo: () => void;
  readonly choose: (choosing: PairCard['choosing']) => void;
  readonly openPair: (pair: PairId) => void;
  readonly answerYes: () => void;
  readonly takeOn: () => void;
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
