/** The clock's offset against RFC 5905 (2010), section 8: theta = ((T2-T1)+(T3-T4))/2, delta = (T4-T1)-(T3-T2). */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { sampleOffset } from '../../src/domain/clock-offset.ts';

const exchange = (t1: number, t2: number, t3: number, t4: number) =>
  sampleOffset({ sentAt: t1, receivedAt: t2, answeredAt: t3, arrivedAt: t4 });

test('equal clocks, 50 ms each way: offset 0, delay 100 (the example of RFC Errata 5020)', () => {
  expect(exchange(0, 50, 50, 100)).toEqual({ offsetMs: 0, delayMs: 100 });
});

test('ours 3000 ms slow, 40 ms out, 5 ms there, 60 ms back: offset 2990, off by half of the asymmetry', () => {
  // Worked out from the formula; no publisher prints this one.
  expect(exchange(1000, 4040, 4045, 1105)).toEqual({ offsetMs: 2990, delayMs: 100 });
});

/** That the error of one exchange is at most half of its round-trip delay is RFC 5905's own bound (from memory). */
test('the offset is never off by more than half of the delay and the rounding', () => {
  const way = fc.nat(60_000);
  const trueOffset = fc.integer({ min: -2_000_000_000, max: 2_000_000_000 });
  fc.assert(
    fc.property(trueOffset, way, way, way, (offset, out, there, back) => {
      const sentAt = 1_793_606_400_000;
      const receivedAt = sentAt + out + offset;
      const answeredAt = receivedAt + there;
      const arrivedAt = answeredAt - offset + back;
      const sample = exchange(sentAt, receivedAt, answeredAt, arrivedAt);
      expect(sample.delayMs).toBe(out + back);
      expect(Math.abs(sample.offsetMs - offset)).toBeLessThanOrEqual(sample.delayMs / 2 + 0.5);
      expect(Number.isInteger(sample.offsetMs)).toBe(true);
    }),
  );
});
