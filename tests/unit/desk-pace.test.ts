import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { Pace, type Timers, waitFor } from '../../src/desk/pace.ts';

const timers: Timers = {
  now: () => Date.now(),
  later: (run, ms) => {
    const timer = setTimeout(run, ms);
    return () => clearTimeout(timer);
  },
};

beforeEach(() => {
  vi.useFakeTimers({ now: 0 });
});
afterEach(() => {
  vi.useRealTimers();
});

/** Runs that each take `tookMs`; gives the times at which they began. */
function paced(tookMs: number) {
  const begun: number[] = [];
  const pace = new Pace(250, timers, async () => {
    begun.push(Date.now());
    await new Promise((done) => setTimeout(done, tookMs));
  });
  return { begun, pace };
}

describe('a pace', () => {
  test('runs at once when first asked', () => {
    const { begun, pace } = paced(5);
    pace.ask();
    expect(begun).toEqual([0]);
  });

  test('runs four times a second at most, and once more for the last asking', async () => {
    const { begun, pace } = paced(5);
    for (let ms = 0; ms < 1000; ms += 20) {
      pace.ask();
      await vi.advanceTimersByTimeAsync(20);
    }
    await vi.advanceTimersByTimeAsync(2000);
    expect(begun).toEqual([0, 250, 500, 750, 1000]);
  });

  test('never runs twice at a time, however slow the answer', async () => {
    const { begun, pace } = paced(900);
    pace.ask();
    await vi.advanceTimersByTimeAsync(100);
    pace.ask();
    pace.ask();
    await vi.advanceTimersByTimeAsync(5000);
    expect(begun).toEqual([0, 900]);
  });

  test('runs no more once it is stopped', async () => {
    const { begun, pace } = paced(5);
    pace.ask();
    await vi.advanceTimersByTimeAsync(10);
    pace.ask();
    pace.stop();
    pace.ask();
    await vi.advanceTimersByTimeAsync(5000);
    expect(begun).toEqual([0]);
  });

  test('loses no asking and keeps its distance, whenever it is asked', async () => {
    const gaps = fc.array(fc.nat(700), { minLength: 1, maxLength: 25 });
    await fc.assert(
      fc.asyncProperty(gaps, fc.integer({ min: 1, max: 600 }), async (waits, tookMs) => {
        vi.setSystemTime(0);
        const { begun, pace } = paced(tookMs);
        let asked = 0;
        for (const wait of waits) {
          await vi.advanceTimersByTimeAsync(wait);
          asked = Date.now();
          pace.ask();
        }
        await vi.advanceTimersByTimeAsync(3000);
        const apart = begun.slice(1).map((at, index) => at - (begun[index] ?? 0));
        expect(Math.min(...apart, 250)).toBeGreaterThanOrEqual(250);
        expect(begun.at(-1)).toBeGreaterThanOrEqual(asked);
      }),
      { numRuns: 60 },
    );
  });
});

test.each([
  [null, 1000, 0],
  [1000, 1000, 250],
  [1000, 1100, 150],
  [1000, 1250, 0],
  [1000, 9000, 0],
  // A clock set back by an hour holds nothing up for an hour.
  [3_600_000, 1000, 250],
])('begun at %s, asked at %s: waits %s ms', (startedAt, now, waitMs) => {
  expect(waitFor(startedAt, now, 250)).toBe(waitMs);
});
