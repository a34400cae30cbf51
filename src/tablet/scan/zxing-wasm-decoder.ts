/** The main decoder: ZXing-C++ as WebAssembly. It reads dim, noisy and turned symbols that scripts alone miss. */
import { prepareZXingModule, type ReaderOptions, readBarcodes } from 'zxing-wasm/reader';
import type { Decoder, Frame, Reading, SymbolKind } from './decoder.ts';

/** Where the reader's .wasm comes from: our own server (never a public one), or its bytes where there is no server. */
export type WasmSource = { readonly url: string } | { readonly bytes: ArrayBuffer };

const SYMBOLS: Readonly<Record<string, SymbolKind>> = {
  QRCode: 'qr',
  DataMatrix: 'data-matrix',
  Code128: 'code-128',
};

const OPTIONS: ReaderOptions = {
  // Model 2 is the QR Code of ISO/IEC 18004; the micro and rectangular kinds are not on our paper.
  formats: ['QRCodeModel2', 'DataMatrix', 'Code128'],
  tryHarder: true,
  tryRotate: true,
  // All our paper is dark on light; looking for the reverse costs a third more on each empty frame.
  tryInvert: false,
  tryDownscale: true,
  // With one line, scratched Code 128 labels gave wrong texts that passed the symbol's own check.
  minLineCount: 2,
  returnErrors: false,
  // A ticket carries two symbols; more than one ticket in view is something that the caller must see.
  maxNumberOfSymbols: 6,
  // As encoded: a control character must arrive as one, so that it can be refused.
  textMode: 'Plain',
};

/**
 * Loads and starts the reader.
 * @throws when the .wasm cannot be fetched, does not match its script or may not run here
 */
export async function startWasmDecoder(source: WasmSource): Promise<Decoder> {
  const overrides =
    'url' in source ? { locateFile: () => source.url } : { wasmBinary: source.bytes, locateFile: () => '' };
  await prepareZXingModule({ overrides, fireImmediately: true });
  return { name: 'zxing-wasm', decode };
}

async function decode({ width, height, data }: Frame): Promise<readonly Reading[]> {
  // The reader looks at these three only; Node has no ImageData to make one of.
  const results = await readBarcodes({ width, height, data, colorSpace: 'srgb' } as ImageData, OPTIONS);
  return results.flatMap(({ text, symbology, isValid }) => {
    const symbol = SYMBOLS[symbology];
    return isValid && symbol !== undefined ? [{ text, symbol }] : [];
  });
}
