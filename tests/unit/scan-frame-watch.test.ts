import { expect, test } from 'vitest';
import type { Frame } from '../../src/tablet/scan/decoder.ts';
import { framePrint } from '../../src/tablet/scan/frame-print.ts';
import { isFrozen, sawFrame, sawPicture, watchFrom } from '../../src/tablet/scan/frame-watch.ts';
import { luminance } from '../../src/tablet/scan/luminance.ts';

test('a stream that gives no frame for three seconds is frozen', () => {
  expect(isFrozen(watchFrom(0), 2999)).toBe(false);
  expect(isFrozen(watchFrom(0), 3000)).toBe(true);
  expect(isFrozen(sawFrame(watchFrom(0), 1000), 3999)).toBe(false);
});

test('frames that are all the same are frozen, frames that differ are proof of a live stream', () => {
  let same = watchFrom(0);
  let live = watchFrom(0);
  for (let at = 0; at <= 3000; at += 100) {
    same = sawPicture(sawFrame(same, at), 7, at);
    live = sawPicture(sawFrame(live, at), at, at);
  }
  expect(isFrozen(same, 3000)).toBe(true);
  expect(same.proven).toBe(false);
  expect(isFrozen(live, 3000)).toBe(false);
  expect(live.proven).toBe(true);
});

test('pictures that are not looked at for a while are not taken for frozen', () => {
  const looked = sawPicture(watchFrom(0), 7, 0);
  expect(isFrozen(sawFrame(looked, 9000), 9100)).toBe(false);
});

test('the print of a picture changes with a faint flicker of all its pixels', () => {
  const frame = (grey: number): Frame => ({
    width: 64,
    height: 64,
    data: new Uint8ClampedArray(64 * 64 * 4).fill(grey),
  });
  expect(framePrint(frame(100))).toBe(framePrint(frame(100)));
  expect(framePrint(frame(100))).not.toBe(framePrint(frame(101)));
});

test('luminance weighs red, green and blue as ITU-R BT.601 does, to within a grey', () => {
  const data = new Uint8ClampedArray([255, 0, 0, 255, 0, 255, 0, 255, 0, 0, 255, 255, 255, 255, 255, 255]);
  const [red = 0, green = 0, blue = 0, white = 0] = luminance({ width: 4, height: 1, data });
  expect(Math.abs(red - 0.299 * 255)).toBeLessThanOrEqual(1);
  expect(Math.abs(green - 0.587 * 255)).toBeLessThanOrEqual(1);
  expect(Math.abs(blue - 0.114 * 255)).toBeLessThanOrEqual(1);
  expect(white).toBe(255);
});
