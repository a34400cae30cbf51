/**
 * The one front of scanning: camera, wedge scanner, keypad and pasted text come out as one stream of texts, each
 * with where it came from. Nothing here knows what a scan means; the caller classifies the text and acts.
 */
import type { ScanSource } from '../../domain/code.ts';
import type { TicketPattern } from '../../domain/ticket-pattern.ts';
import { BURST_LIMITS, type BurstLimits } from './burst.ts';
import { type Camera, IDLE_OFF_MS, openCamera } from './camera.ts';
import type { CameraState } from './camera-state.ts';
import type { CameraChoice } from './camera-stream.ts';
import { type DecodeClient, openDecodeClient } from './decode-client.ts';
import type { SymbolKind } from './decoder.ts';
import { fromCamera, fromHand, type Heard, NOTHING_TAKEN_IN, type Taken } from './intake.ts';
import { takesText } from './typed-field.ts';
import { openWedge, type WedgeDrop } from './wedge.ts';

/** Between two takings of one code. A hand that pulls the trigger twice is slower than a second, seldom than two. */
export const REPEAT_PAUSE_MS = 2000;

export interface Scan {
  /** As read or typed; may be damaged or foreign, and is not fit for showing before it has been classified. */
  readonly text: string;
  readonly source: ScanSource;
  /** Known from the camera only. */
  readonly symbol: SymbolKind | null;
}

/** What the person should be told, though nothing was taken. */
export type ScanTrouble =
  | Exclude<Heard, { kind: 'scan' }>
  | { readonly kind: 'dropped'; readonly why: WedgeDrop };

export interface ScannerOptions {
  readonly onScan: (scan: Scan) => void;
  readonly onTrouble: (trouble: ScanTrouble) => void;
  /** The site's own ticket numbers, asked for at each reading, as settings may change. */
  readonly pattern: () => TicketPattern | null;
  readonly choice?: CameraChoice;
  readonly repeatPauseMs?: number;
  readonly idleOffMs?: number | null;
  /** Which decoder is at work, for diagnostics; null: none can run here, and the camera reads nothing. */
  readonly onDecoder?: (name: string | null) => void;
}

export interface Scanner {
  /** Puts the camera's picture into `video` and reads from it. One at a time: an earlier one is stopped. */
  openCamera(video: HTMLVideoElement, onState: (state: CameraState) => void): Camera;
  /** A text from the keypad. */
  type(text: string): void;
  /** Lets camera, decoder and keyboard go. */
  stop(): void;
}

/** Starts listening to the keyboard and to pasting at once; the decoder is started with the first camera. */
export function openScanner(options: ScannerOptions): Scanner {
  return new ScannerFront(options);
}

class ScannerFront implements Scanner {
  readonly #options: ScannerOptions;
  readonly #wedge = openWedge({
    onText: (text) => this.#byHand(text, 'wedge'),
    onDropped: (why) => this.#options.onTrouble({ kind: 'dropped', why }),
    limits: () => limitsFor(this.#options.pattern()),
  });
  #intake = NOTHING_TAKEN_IN;
  #decoder: DecodeClient | null = null;
  #camera: Camera | null = null;

  constructor(options: ScannerOptions) {
    this.#options = options;
    window.addEventListener('paste', this.#onPaste);
  }

  openCamera(video: HTMLVideoElement, onState: (state: CameraState) => void): Camera {
    const { choice, idleOffMs = IDLE_OFF_MS, onDecoder } = this.#options;
    this.#camera?.stop();
    this.#decoder ??= openDecodeClient(onDecoder === undefined ? {} : { onDecoder });
    const camera = openCamera({
      video,
      decoder: this.#decoder,
      onState,
      onLook: (readings, at) => this.#hear(fromCamera(this.#intake, readings, at, this.#rules())),
      idleOffMs,
      ...(choice === undefined ? {} : { choice }),
    });
    this.#camera = camera;
    return camera;
  }

  type(text: string): void {
    this.#byHand(text, 'typed');
  }

  stop(): void {
    window.removeEventListener('paste', this.#onPaste);
    this.#wedge.stop();
    this.#camera?.stop();
    this.#decoder?.close();
    this.#decoder = null;
  }

  /** Into a field, a paste is the field's. */
  readonly #onPaste = (event: ClipboardEvent): void => {
    const text = event.clipboardData?.getData('text/plain').trim() ?? '';
    if (text === '' || takesText(document.activeElement)) return;
    event.preventDefault();
    this.#byHand(text, 'typed');
  };

  #byHand(text: string, source: 'wedge' | 'typed'): void {
    this.#camera?.stayOn();
    this.#hear(fromHand(this.#intake, text, source, performance.now(), this.#rules()));
  }

  #hear({ intake, heard }: Taken): void {
    this.#intake = intake;
    for (const what of heard) {
      if (what.kind === 'scan')
        this.#options.onScan({ text: what.text, source: what.source, symbol: what.symbol });
      else this.#options.onTrouble(what);
    }
  }

  #rules() {
    return { pattern: this.#options.pattern(), pauseMs: this.#options.repeatPauseMs ?? REPEAT_PAUSE_MS };
  }
}

/** A site's own ticket may be shorter than the shortest code of ours. */
function limitsFor(pattern: TicketPattern | null): BurstLimits {
  const lengthMin = Math.min(BURST_LIMITS.lengthMin, pattern?.length ?? BURST_LIMITS.lengthMin);
  return { ...BURST_LIMITS, lengthMin };
}
