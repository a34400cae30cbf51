/**
 * The camera, from asking for it to letting it go.
 *
 * 1. It alone owns the stream: whatever ends (stop, idle, hidden page, a fault, a start overtaken by another)
 *    leaves no live track behind, also where the stream arrives after nobody wants it any more.
 * 2. At most one picture in 100 ms is looked at, none while the decoder is busy; a hidden page looks at none.
 * 3. A page that comes back gets a fresh stream: an old one may be black.
 * 4. A stream that has ended, is muted, or shows the same picture for three seconds is replaced, at growing
 *    intervals; the state says so meanwhile.
 */
import { type CameraState, stateOfFailure } from './camera-state.ts';
import {
  askForStream,
  type CameraChoice,
  endStream,
  focusContinuously,
  type GetUserMedia,
  hasTorch,
  switchTorch,
} from './camera-stream.ts';
import type { DecodeClient } from './decode-client.ts';
import type { Reading } from './decoder.ts';
import { eachFrame } from './frame-loop.ts';
import { type FrameWatch, isFrozen, sawFrame, sawPicture, watchFrom } from './frame-watch.ts';

/** Ten looks a second. */
const LOOK_MS = 100;
const WATCH_MS = 500;
const RETRY_MS_FIRST = 1000;
const RETRY_MS_MAX = 30_000;
/** A track may be muted for a moment, as when a call comes in. */
const MUTED_MS_MAX = 3000;
export const IDLE_OFF_MS = 30_000;

export interface CameraOptions {
  /** Put in the page by the caller; muted and inline playing are set here. */
  readonly video: HTMLVideoElement;
  readonly decoder: DecodeClient;
  /** Called for every picture looked at, with nothing where it held nothing: absence is news too. `at`: ms, `performance.now()` of the picture. */
  readonly onLook: (readings: readonly Reading[], at: number) => void;
  readonly onState: (state: CameraState) => void;
  readonly choice?: CameraChoice;
  /** Without a reading for so long it goes off; null: never. */
  readonly idleOffMs?: number | null;
  /** The browser's own, unless a test has another. */
  readonly getUserMedia?: GetUserMedia | null;
}

export interface Camera {
  readonly state: CameraState;
  /** Lets the camera go. `restart` takes it up again. */
  stop(): void;
  /** A fresh stream, from whatever state. */
  restart(): void;
  /** Somebody is at the tablet: the idle time begins anew. */
  stayOn(): void;
  /** Nothing where there is no torch. */
  setTorch(on: boolean): void;
  /** Uses this camera from now on, here and after the next start. */
  choose(deviceId: string): void;
}

/** Starts the camera at once: `onState` hears of it before this returns. */
export function openCamera(options: CameraOptions): Camera {
  return new LiveCamera(options);
}

class LiveCamera implements Camera {
  readonly #options: CameraOptions;
  readonly #getUserMedia: GetUserMedia | null;
  #state: CameraState = { kind: 'off', why: 'stopped' };
  /** Goes up with each start and each stop: what an older one still awaits is void. */
  #run = 0;
  #stream: MediaStream | null = null;
  #stopFrames: () => void = () => {};
  #listening = new AbortController();
  #watchTimer: ReturnType<typeof setInterval> | undefined;
  #retryTimer: ReturnType<typeof setTimeout> | undefined;
  #retryMs = RETRY_MS_FIRST;
  #watch: FrameWatch = watchFrom(0);
  #lookedAt = 0;
  #mutedAt: number | null = null;
  #usedAt = 0;

  constructor(options: CameraOptions) {
    this.#options = options;
    this.#getUserMedia = options.getUserMedia === undefined ? browserCamera() : options.getUserMedia;
    this.restart();
  }

  get state(): CameraState {
    return this.#state;
  }

  restart(): void {
    document.addEventListener('visibilitychange', this.#onVisibility);
    this.#retryMs = RETRY_MS_FIRST;
    this.#usedAt = performance.now();
    if (document.hidden) this.#off('hidden');
    else void this.#start('starting');
  }

  stop(): void {
    document.removeEventListener('visibilitychange', this.#onVisibility);
    this.#off('stopped');
  }

  stayOn(): void {
    this.#usedAt = performance.now();
  }

  setTorch(on: boolean): void {
    const track = this.#track();
    if (track === null || this.#state.kind !== 'live' || this.#state.torch === 'absent') return;
    const run = this.#run;
    void switchTorch(track, on).then((obeyed) => {
      if (obeyed && run === this.#run) this.#say({ kind: 'live', torch: on ? 'on' : 'off' });
    });
  }

  choose(deviceId: string): void {
    this.#options.choice?.remember(deviceId);
    this.restart();
  }

  /** A quiet start is a retry: the page goes on showing what was wrong until it is right again. */
  async #start(how: 'starting' | 'quiet'): Promise<void> {
    this.#letGo();
    const run = this.#run;
    if (this.#getUserMedia === null) {
      this.#say({ kind: 'none', why: 'insecure' });
      return;
    }
    if (how === 'starting') this.#say({ kind: 'starting' });
    try {
      const stream = await askForStream(this.#getUserMedia, this.#options.choice?.remembered() ?? null);
      if (run !== this.#run) {
        endStream(stream);
        return;
      }
      await this.#show(stream);
    } catch (failure) {
      if (run === this.#run) this.#failed(stateOfFailure(failure));
    }
  }

  async #show(stream: MediaStream): Promise<void> {
    const { video } = this.#options;
    this.#stream = stream;
    this.#watch = watchFrom(performance.now());
    this.#watchTimer = setInterval(this.#checkStream, WATCH_MS);
    for (const track of stream.getVideoTracks()) this.#listen(track);
    // Without these two an iPad opens the video in full screen, or not at all.
    video.muted = true;
    video.playsInline = true;
    video.srcObject = stream;
    this.#stopFrames = eachFrame(video, this.#onFrame);
    await video.play();
  }

  #listen(track: MediaStreamTrack): void {
    const { signal } = this.#listening;
    this.#mutedAt = track.muted ? performance.now() : null;
    track.addEventListener('ended', () => this.#failed({ kind: 'lost', why: 'ended' }), { signal });
    track.addEventListener('mute', () => this.#muted(performance.now()), { signal });
    track.addEventListener('unmute', () => this.#muted(null), { signal });
    void focusContinuously(track);
  }

  #muted(at: number | null): void {
    this.#mutedAt = at;
  }

  readonly #onFrame = (): void => {
    const now = performance.now();
    this.#watch = sawFrame(this.#watch, now);
    if (this.#state.kind !== 'live') this.#begin();
    const { decoder, video } = this.#options;
    // A little under the interval, or every second frame of a 20-frame camera would come just too early.
    if (decoder.busy || now - this.#lookedAt < LOOK_MS - 10) return;
    this.#lookedAt = now;
    void this.#lookAt(video, now);
  };

  #begin(): void {
    const track = this.#track();
    // The question for permission may have stood for a minute; that was not idling.
    if (this.#state.kind === 'starting') this.#usedAt = performance.now();
    this.#say({ kind: 'live', torch: track !== null && hasTorch(track) ? 'off' : 'absent' });
  }

  async #lookAt(video: HTMLVideoElement, at: number): Promise<void> {
    const run = this.#run;
    const picture = await createImageBitmap(video).catch(() => null);
    // The video may have no picture yet; the next frame will.
    if (picture === null) return;
    if (run !== this.#run) {
      picture.close();
      return;
    }
    const look = await this.#options.decoder.look(picture);
    if (look === null || run !== this.#run) return;
    this.#watch = sawPicture(this.#watch, look.print, at);
    if (look.readings.length > 0) this.#usedAt = at;
    this.#options.onLook(look.readings, at);
  }

  readonly #checkStream = (): void => {
    const now = performance.now();
    if (this.#mutedAt !== null && now - this.#mutedAt >= MUTED_MS_MAX)
      this.#failed({ kind: 'lost', why: 'muted' });
    else if (isFrozen(this.#watch, now)) this.#failed({ kind: 'lost', why: 'frozen' });
    else if (this.#isIdle(now)) this.#off('idle');
    else if (this.#watch.proven) this.#retryMs = RETRY_MS_FIRST;
  };

  #isIdle(now: number): boolean {
    const { idleOffMs = IDLE_OFF_MS } = this.#options;
    return idleOffMs !== null && now - this.#usedAt >= idleOffMs;
  }

  readonly #onVisibility = (): void => {
    if (document.hidden) this.#hide();
    else if (this.#state.kind === 'off' && this.#state.why === 'hidden') this.restart();
  };

  #hide(): void {
    // What was off stays off when the page comes back; what could not run is worth another try.
    if (this.#state.kind !== 'off') this.#off('hidden');
  }

  #failed(state: CameraState): void {
    this.#letGo();
    this.#say(state);
    if (state.kind !== 'lost' && state.kind !== 'busy') return;
    this.#retryTimer = setTimeout(this.#retry, this.#retryMs);
    this.#retryMs = Math.min(this.#retryMs * 2, RETRY_MS_MAX);
  }

  readonly #retry = (): void => {
    if (this.#isIdle(performance.now())) this.#off('idle');
    else void this.#start('quiet');
  };

  #off(why: 'stopped' | 'idle' | 'hidden'): void {
    this.#letGo();
    this.#say({ kind: 'off', why });
  }

  #letGo(): void {
    this.#run += 1;
    clearInterval(this.#watchTimer);
    clearTimeout(this.#retryTimer);
    this.#stopFrames();
    this.#stopFrames = () => {};
    this.#mutedAt = null;
    this.#listening.abort();
    this.#listening = new AbortController();
    const stream = this.#stream;
    this.#stream = null;
    if (stream === null) return;
    endStream(stream);
    this.#options.video.srcObject = null;
  }

  #track(): MediaStreamTrack | null {
    return this.#stream?.getVideoTracks()[0] ?? null;
  }

  #say(state: CameraState): void {
    this.#state = state;
    this.#options.onState(state);
  }
}

function browserCamera(): GetUserMedia | null {
  // Undefined outside a secure context, whatever the types say.
  const devices = navigator.mediaDevices as MediaDevices | undefined;
  return devices?.getUserMedia === undefined ? null : (constraints) => devices.getUserMedia(constraints);
}
