/**
 * Decodes pictures off the page's thread: WebAssembly where it runs, plain script where it does not.
 * It holds no queue: the page sends the next picture only after the last was answered.
 */
import wasmUrl from 'zxing-wasm/reader/zxing_reader.wasm?url';
import type { Decoder, Frame } from './decoder.ts';
import { framePrint } from './frame-print.ts';
import type { FromWorker, ToWorker } from './look.ts';
import { startWasmDecoder } from './zxing-wasm-decoder.ts';

// The compiler knows this file by the page's `self`; here it is the worker's.
const worker = self as unknown as DedicatedWorkerGlobalScope;

const canvas = new OffscreenCanvas(1, 1);
const context = canvas.getContext('2d', { willReadFrequently: true });

const say = (message: FromWorker): void => worker.postMessage(message);

let decoder: Promise<Decoder> = startWasmDecoder({ url: wasmUrl }).catch(startScriptDecoder);
announce();

worker.addEventListener('message', ({ data }: MessageEvent<ToWorker>) => {
  void look(data.picture);
});

async function look(picture: ImageBitmap): Promise<void> {
  const frame = pixels(picture);
  if (frame === null) {
    say({ kind: 'failed', reason: 'no canvas in the worker' });
    return;
  }
  const print = framePrint(frame);
  try {
    say({ kind: 'looked', look: { readings: await (await decoder).decode(frame), print } });
  } catch {
    // WebAssembly that has run out of memory does not recover; the picture is let go, the next one is read by script.
    decoder = startScriptDecoder();
    say({ kind: 'looked', look: { readings: [], print } });
    announce();
  }
}

function pixels(picture: ImageBitmap): Frame | null {
  const { width, height } = picture;
  if (canvas.width !== width) canvas.width = width;
  if (canvas.height !== height) canvas.height = height;
  context?.drawImage(picture, 0, 0);
  picture.close();
  return context?.getImageData(0, 0, width, height) ?? null;
}

async function startScriptDecoder(): Promise<Decoder> {
  const { jsDecoder } = await import('./zxing-js-decoder.ts');
  return jsDecoder;
}

function announce(): void {
  decoder.then(
    ({ name }) => say({ kind: 'started', decoder: name }),
    (reason: unknown) => say({ kind: 'failed', reason: String(reason) }),
  );
}
