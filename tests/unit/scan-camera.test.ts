/**
 * The camera's life, with time and the browser's parts played by the test. That the real ones behave so is
 * tested in `scan-browser.web.test.ts`; here are the faults that a fake camera of Chromium cannot have.
 */
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { type Camera, openCamera } from '../../src/tablet/scan/camera.ts';
import type { CameraState } from '../../src/tablet/scan/camera-state.ts';
import type { Reading } from '../../src/tablet/scan/decoder.ts';

class PlayedTrack extends EventTarget {
  readyState = 'live';
  muted = false;
  readonly wishes: unknown[] = [];
  readonly can: Record<string, unknown>;
  constructor(can: Record<string, unknown>) {
    super();
    this.can = can;
  }
  stop(): void {
    this.readyState = 'ended';
  }
  getCapabilities(): Record<string, unknown> {
    return this.can;
  }
  async applyConstraints({ advanced }: { advanced: unknown[] }): Promise<void> {
    this.wishes.push(...advanced);
  }
}

const named = (name: string) => Object.assign(new Error(name), { name });

/** A page with a camera, in which the test is the browser. */
class World {
  readonly page = Object.assign(new EventTarget(), { hidden: false });
  readonly tracks: PlayedTrack[] = [];
  readonly asked: MediaTrackConstraints[] = [];
  readonly states: CameraState[] = [];
  readonly looks: (readonly Reading[])[] = [];
  readings: readonly Reading[] = [];
  frozen = false;
  failure: Error | null = null;
  can: Record<string, unknown> = {};
  #print = 0;

  readonly video = {
    currentTime: 0,
    srcObject: null as unknown,
    muted: false,
    playsInline: false,
    play: async () => {},
  };

  open(options: { remembered?: string; idleOffMs?: number | null; insecure?: boolean } = {}): Camera {
    vi.stubGlobal('document', this.page);
    vi.stubGlobal('createImageBitmap', async () => ({ close() {} }));
    return openCamera({
      video: this.video as unknown as HTMLVideoElement,
      decoder: {
        decoder: 'played',
        busy: false,
        look: async () => ({ readings: this.readings, print: this.#nextPrint() }),
        close() {},
      },
      onLook: (readings) => this.looks.push(readings),
      onState: (state) => this.states.push(state),
      choice: { remembered: () => options.remembered ?? null, remember: () => {} },
      idleOffMs: options.idleOffMs ?? null,
      getUserMedia: options.insecure === true ? null : (wish) => this.#give(wish),
    });
  }

  /** Time passes and the video plays, `perSecond` frames of it. */
  async run(ms: number, perSecond = 30): Promise<void> {
    for (let passed = 0; passed < ms; passed += 50) {
      this.video.currentTime += perSecond / 1000;
      await vi.advanceTimersByTimeAsync(50);
    }
  }

  show(hidden: boolean): void {
    this.page.hidden = hidden;
    this.page.dispatchEvent(new Event('visibilitychange'));
  }

  get live(): number {
    return this.tracks.filter(({ readyState }) => readyState === 'live').length;
  }

  get kinds(): readonly string[] {
    return this.states.map((state) => ('why' in state ? `${state.kind}: ${state.why}` : state.kind));
  }

  /** Differs from picture to picture, unless the camera is frozen. */
  #nextPrint(): number {
    if (!this.frozen) this.#print += 1;
    return this.#print;
  }

  async #give({ video }: MediaStreamConstraints): Promise<MediaStream> {
    this.asked.push(video as MediaTrackConstraints);
    await new Promise((resolve) => setTimeout(resolve, 20));
    if (this.failure !== null) throw this.failure;
    const track = new PlayedTrack(this.can);
    this.tracks.push(track);
    return { getTracks: () => [track], getVideoTracks: () => [track] } as unknown as MediaStream;
  }
}

let world: World;
beforeEach(() => {
  vi.useFakeTimers();
  world = new World();
});
afterEach(() => {
  vi.useRealTimers();
  vi.unstubAllGlobals();
});

describe('starting', () => {
  test('asks for the rear camera at 1920 × 1080, and plays muted and in place', async () => {
    world.open();
    await world.run(1000);
    expect(world.asked).toMatchObject([
      { width: { ideal: 1920 }, height: { ideal: 1080 }, facingMode: { ideal: 'environment' } },
    ]);
    expect(world.video).toMatchObject({ muted: true, playsInline: true });
    expect(world.kinds).toEqual(['starting', 'live']);
  });

  test('asks for the chosen camera, and for the rear one where that is gone', async () => {
    world.open({ remembered: 'left-arm' });
    world.failure = named('OverconstrainedError');
    setTimeout(() => {
      world.failure = null;
    }, 25);
    await world.run(1000);
    expect(world.asked).toMatchObject([
      { deviceId: { exact: 'left-arm' } },
      { facingMode: { ideal: 'environment' } },
    ]);
    expect(world.kinds).toEqual(['starting', 'live']);
  });

  test('a start that was stopped meanwhile ends the stream that comes late', async () => {
    const camera = world.open();
    camera.stop();
    await world.run(500);
    expect(world.tracks).toHaveLength(1);
    expect(world.live).toBe(0);
    expect(world.kinds).toEqual(['starting', 'off: stopped']);
  });

  test.each([
    ['NotAllowedError', 'refused'],
    ['NotFoundError', 'none: no-camera'],
    ['NotReadableError', 'busy'],
  ])('%s is %s', async (failure, state) => {
    world.failure = named(failure);
    world.open();
    await world.run(500);
    expect(world.kinds).toEqual(['starting', state]);
  });

  test('a page that is not secure has no camera, and that is said', () => {
    world.open({ insecure: true });
    expect(world.kinds).toEqual(['none: insecure']);
  });

  test('a busy camera is tried again by itself', async () => {
    world.failure = named('NotReadableError');
    world.open();
    await world.run(500);
    world.failure = null;
    await world.run(1500);
    expect(world.kinds).toEqual(['starting', 'busy', 'live']);
  });
});

describe('running', () => {
  test('looks at ten pictures a second at most, and tells of empty ones too', async () => {
    world.open();
    await world.run(2000);
    expect(world.looks.length).toBeGreaterThan(10);
    expect(world.looks.length).toBeLessThanOrEqual(20);
    expect(world.looks[0]).toEqual([]);
  });

  test('goes off when the page is hidden and comes back with a fresh stream', async () => {
    world.open();
    await world.run(500);
    world.show(true);
    expect(world.live).toBe(0);
    await world.run(5000);
    expect(world.tracks).toHaveLength(1);
    world.show(false);
    await world.run(500);
    expect(world.tracks).toHaveLength(2);
    expect(world.live).toBe(1);
    expect(world.kinds).toEqual(['starting', 'live', 'off: hidden', 'starting', 'live']);
  });

  test('a camera that was stopped stays off when the page comes back', async () => {
    world.open().stop();
    world.show(true);
    world.show(false);
    await world.run(500);
    expect(world.live).toBe(0);
  });

  test('goes off after the idle time, which a reading or a touch begins anew', async () => {
    const camera = world.open({ idleOffMs: 10_000 });
    await world.run(8000);
    camera.stayOn();
    await world.run(8000);
    world.readings = [{ text: 'P7K4292W', symbol: 'qr' }];
    await world.run(200);
    world.readings = [];
    await world.run(9000);
    expect(camera.state.kind).toBe('live');
    await world.run(2000);
    expect(camera.state).toEqual({ kind: 'off', why: 'idle' });
    expect(world.live).toBe(0);
    camera.restart();
    await world.run(500);
    expect(camera.state.kind).toBe('live');
  });

  test.each<{ why: string; fault: () => Promise<void> }>([
    { why: 'ended', fault: async () => void world.tracks[0]?.dispatchEvent(new Event('ended')) },
    {
      why: 'muted',
      fault: async () => {
        world.tracks[0]?.dispatchEvent(new Event('mute'));
        await world.run(3500);
      },
    },
    { why: 'frozen', fault: () => vi.advanceTimersByTimeAsync(3500).then(() => {}) },
    {
      why: 'frozen',
      fault: async () => {
        world.frozen = true;
        await world.run(4000);
      },
    },
  ])('a stream that is $why is lost, let go and replaced', async ({ why, fault }) => {
    world.open();
    await world.run(1000);
    await fault();
    expect(world.kinds).toContain(`lost: ${why}`);
    world.frozen = false;
    await world.run(2000);
    expect(world.live).toBe(1);
    expect(world.kinds.slice(0, 4)).toEqual(['starting', 'live', `lost: ${why}`, 'live']);
  });

  test('a track that is muted for a moment is not lost', async () => {
    world.open();
    await world.run(1000);
    world.tracks[0]?.dispatchEvent(new Event('mute'));
    await world.run(2000);
    world.tracks[0]?.dispatchEvent(new Event('unmute'));
    await world.run(4000);
    expect(world.kinds).toEqual(['starting', 'live']);
  });

  test('a camera that stays dead is tried at growing intervals', async () => {
    world.open();
    await world.run(1000);
    world.frozen = true;
    await world.run(60_000);
    expect(world.tracks.length).toBeGreaterThan(3);
    expect(world.tracks.length).toBeLessThan(9);
    expect(world.live).toBeLessThanOrEqual(1);
  });
});

describe('what the camera offers', () => {
  test('continuous focus is asked for where it is there', async () => {
    world.can = { focusMode: ['manual', 'continuous'] };
    world.open();
    await world.run(500);
    expect(world.tracks[0]?.wishes).toEqual([{ focusMode: 'continuous' }]);
  });

  test('a torch is switched, and said to be on', async () => {
    world.can = { torch: true };
    const camera = world.open();
    await world.run(500);
    expect(camera.state).toEqual({ kind: 'live', torch: 'off' });
    camera.setTorch(true);
    await world.run(100);
    expect(world.tracks[0]?.wishes).toEqual([{ torch: true }]);
    expect(camera.state).toEqual({ kind: 'live', torch: 'on' });
  });

  test('where there is no torch nothing is asked for', async () => {
    const camera = world.open();
    await world.run(500);
    camera.setTorch(true);
    await world.run(100);
    expect(world.tracks[0]?.wishes).toEqual([]);
    expect(camera.state).toEqual({ kind: 'live', torch: 'absent' });
  });
});
