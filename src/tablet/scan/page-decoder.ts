/**
 * The last fall-back: decoding on the page's own thread, where there is no worker with a canvas. It blocks the
 * page while it looks, so pictures are made smaller and the caller paces it. Loaded only when it is needed.
 */
import { BrowserCodeReader } from '@zxing/browser';
import { framePrint } from './frame-print.ts';
import type { Look } from './look.ts';
import { readSymbols } from './zxing-js-readers.ts';

/** Enough for a ticket held to the aiming frame; half the work of a full picture. */
const LONG_SIDE_MAX = 1280;

export const PAGE_DECODER = 'zxing-browser';

/** Looks at one picture and closes it. The canvas source of the package can turn the picture, so upright bars are read too. */
export function lookOnPage(picture: ImageBitmap): Look {
  const scale = Math.min(1, LONG_SIDE_MAX / Math.max(picture.width, picture.height));
  const canvas = document.createElement('canvas');
  canvas.width = Math.round(picture.width * scale);
  canvas.height = Math.round(picture.height * scale);
  const context = canvas.getContext('2d', { willReadFrequently: true });
  if (context === null) throw new Error('no canvas on the page');
  context.drawImage(picture, 0, 0, canvas.width, canvas.height);
  picture.close();
  return {
    readings: readSymbols(BrowserCodeReader.createBinaryBitmapFromCanvas(canvas)),
    print: framePrint(context.getImageData(0, 0, canvas.width, canvas.height)),
  };
}
