import { describe, expect, test } from 'vitest';
import { believedOffset, OFFSET_SAMPLES, type OffsetSample } from '../../src/domain/clock-offset.ts';

const sample = (offsetMs: number, delayMs: number): OffsetSample => ({ offsetMs, delayMs });

describe('the sample to believe', () => {
  test.each<[string, readonly OffsetSample[], OffsetSample | null]>([
    ['none where there is none', [], null],
    ['none where our clock stepped in mid-exchange', [sample(40, -10)], null],
    ['the only one', [sample(40, 900)], sample(40, 900)],
    ['the one with the shortest way', [sample(60, 200), sample(41, 20), sample(90, 400)], sample(41, 20)],
    [
      'of two ways equally short the newer',
      [sample(41, 20), sample(43, 20), sample(90, 400)],
      sample(43, 20),
    ],
    [
      'the newest after a step of the clock, however short the ways were before',
      [sample(40, 20), sample(41, 20), sample(3_600_050, 300)],
      sample(3_600_050, 300),
    ],
    [
      'the shortest since the step',
      [sample(40, 10), sample(3_600_060, 50), sample(3_600_050, 300)],
      sample(3_600_060, 50),
    ],
    [
      'a long way with a wild offset yields to a short one that it allows',
      [sample(0, 10), sample(400, 900)],
      sample(0, 10),
    ],
  ])('is %s', (_, samples, believed) => {
    expect(believedOffset(samples)).toEqual(believed);
  });

  test(`is one of the last ${OFFSET_SAMPLES}`, () => {
    const old = sample(40, 1);
    const later = Array.from({ length: OFFSET_SAMPLES }, (_, index) => sample(41, 100 - index));
    expect(believedOffset([old, ...later])).toEqual(sample(41, 93));
    expect(believedOffset([old, ...later.slice(1)])).toEqual(old);
  });
});
