/** The rest of the sync loop: what ends it, what does not, and what was said before it began. */
import { describe, expect, test } from 'vitest';
import { Resting, type WakeReason } from '../../src/tablet/sync/resting.ts';

/** A rest whose time the test lets pass. */
function resting() {
  const slept: number[] = [];
  const passing: (() => void)[] = [];
  const sleep = (ms: number, signal: AbortSignal) => {
    slept.push(ms);
    return new Promise<void>((resolve) => {
      passing.push(resolve);
      signal.addEventListener('abort', () => resolve(), { once: true });
    });
  };
  const stop = new AbortController();
  const rest = new Resting(sleep);
  /** Begins a rest that only a person's asking may end; tells once it is over. */
  const begin = (told: { mayWake?: readonly WakeReason[]; needless?: boolean } = {}) => {
    const { mayWake = ['asked'], needless = false } = told;
    const ended = { is: false };
    const over = rest
      .rest(
        { ms: 700, mayWake: (reason) => mayWake.includes(reason), needless: async () => needless },
        stop.signal,
      )
      .then(() => {
        ended.is = true;
      });
    return { ended, over };
  };
  const settle = () => new Promise((resolve) => setTimeout(resolve, 0));
  const pass = () => {
    for (const then of passing.splice(0)) then();
  };
  return { rest, begin, settle, pass, slept, stop };
}

describe('a rest', () => {
  test('lasts as long as it is told to, and the loop rests meanwhile and not after', async () => {
    const { rest, begin, settle, pass, slept } = resting();
    expect(rest.now).toBe(false);
    const { ended, over } = begin();
    await settle();
    expect([rest.now, ended.is, slept]).toEqual([true, false, [700]]);
    pass();
    await over;
    expect(rest.now).toBe(false);
  });

  test('ends for a reason that is good enough, and for no other', async () => {
    const { rest, begin, settle } = resting();
    const { ended, over } = begin();
    await settle();
    rest.wake('record');
    await settle();
    expect(ended.is).toBe(false);
    rest.wake('asked');
    await over;
  });

  test('is not begun where it is needless', async () => {
    const { begin, slept } = resting();
    await begin({ needless: true }).over;
    expect(slept).toEqual([]);
  });

  test('is not begun once the loop is stopped, and ends when it is stopped', async () => {
    const { begin, settle, slept, stop } = resting();
    const { over } = begin();
    await settle();
    stop.abort();
    await over;
    await begin().over;
    expect(slept).toEqual([700]);
  });

  test('that is over listens no longer for the loop’s end', async () => {
    const { begin, settle, pass, stop } = resting();
    const listening: string[] = [];
    const { signal } = stop;
    const remove = signal.removeEventListener.bind(signal);
    signal.removeEventListener = (type: string, listener: EventListener) => {
      listening.push(type);
      remove(type, listener);
    };
    const { over } = begin();
    await settle();
    pass();
    await over;
    expect(listening).toEqual(['abort']);
  });
});

describe('a reason that came while a round was under way', () => {
  test('ends the next rest at once, where it is good enough for it', async () => {
    const { rest, begin, slept } = resting();
    rest.wake('record');
    rest.wake('asked');
    await begin().over;
    expect(slept).toEqual([]);
  });

  test('does not end a rest that it is not good enough for', async () => {
    const { rest, begin, settle } = resting();
    rest.wake('record');
    const { ended } = begin();
    await settle();
    expect(ended.is).toBe(false);
  });

  test('is answered by the round that begins after it', async () => {
    const { rest, begin, settle } = resting();
    rest.wake('asked');
    rest.over();
    const { ended } = begin();
    await settle();
    expect(ended.is).toBe(false);
  });

  test('during a rest is not kept for the one after', async () => {
    const { rest, begin, settle } = resting();
    const first = begin();
    await settle();
    rest.wake('asked');
    await first.over;
    const { ended } = begin();
    await settle();
    expect(ended.is).toBe(false);
  });
});
