/** The fall-back in the worker: readers in plain script. No DOM is needed, only the pixels. */
import { BinaryBitmap, HybridBinarizer, RGBLuminanceSource } from '@zxing/library';
import type { Decoder, Frame } from './decoder.ts';
import { luminance } from './luminance.ts';
import { readSymbols } from './zxing-js-readers.ts';

export const jsDecoder: Decoder = {
  name: 'zxing-js',
  async decode(frame: Frame) {
    const source = new RGBLuminanceSource(luminance(frame), frame.width, frame.height);
    return readSymbols(new BinaryBitmap(new HybridBinarizer(source)));
  },
};
