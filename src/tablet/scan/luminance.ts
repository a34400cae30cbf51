import type { Frame } from './decoder.ts';

/** One byte a pixel: luma by the weights of ITU-R BT.601 (0.299, 0.587, 0.114), in 65,536ths. */
export function luminance({ width, height, data }: Frame): Uint8ClampedArray {
  const grey = new Uint8ClampedArray(width * height);
  for (let pixel = 0, at = 0; pixel < grey.length; pixel += 1, at += 4) {
    const red = data[at] ?? 0;
    const green = data[at + 1] ?? 0;
    const blue = data[at + 2] ?? 0;
    grey[pixel] = (19_595 * red + 38_470 * green + 7_471 * blue + 32_768) >> 16;
  }
  return grey;
}
