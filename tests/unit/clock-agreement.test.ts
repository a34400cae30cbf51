/** Which samples of two exchanges can both be true: their offsets lie no further apart than half of both delays. */
import { expect, test } from 'vitest';
import { believedOffset, type OffsetSample } from '../../src/domain/clock-offset.ts';

const sample = (offsetMs: number, delayMs: number): OffsetSample => ({ offsetMs, delayMs });

test('an answer that took no time at all is a sample', () => {
  expect(believedOffset([sample(40, 0)])).toEqual(sample(40, 0));
});

test.each([
  ['ahead', 1],
  ['behind', -1],
])(
  'a shorter way whose offset is %s by half of both delays and the rounding agrees, by more it does not',
  (_, sign) => {
    const newest = sample(0, 100);
    const [agrees, contradicts] = [sample(sign * 56, 10), sample(sign * 57, 10)];
    expect(believedOffset([agrees, newest])).toEqual(agrees);
    expect(believedOffset([contradicts, newest])).toEqual(newest);
  },
);
