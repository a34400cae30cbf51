/**
 * The script-only readers, for a tablet where WebAssembly cannot run.
 *
 * Each reader is called by itself: the package's reader for all formats writes a warning with a stack for
 * every frame without a symbol, ten times a second.
 */
import {
  type BarcodeFormat,
  type BinaryBitmap,
  Code128Reader,
  DataMatrixReader,
  DecodeHintType,
  QRCodeReader,
} from '@zxing/library';
import type { Reading, SymbolKind } from './decoder.ts';

/** As the package's hint maps are typed. */
export type Hints = Map<DecodeHintType, boolean | BarcodeFormat[]>;

interface SymbolReader {
  readonly symbol: SymbolKind;
  readonly read: (bitmap: BinaryBitmap, hints: Hints) => string;
}

/** All rows for Code 128, and a second look where the picture can be turned. */
export const HINTS: Hints = new Map([[DecodeHintType.TRY_HARDER, true]]);

const qr = new QRCodeReader();
const dataMatrix = new DataMatrixReader();
const code128 = new Code128Reader();

const READERS: readonly SymbolReader[] = [
  { symbol: 'qr', read: (bitmap, hints) => qr.decode(bitmap, hints).getText() },
  { symbol: 'data-matrix', read: (bitmap, hints) => dataMatrix.decode(bitmap, hints).getText() },
  { symbol: 'code-128', read: (bitmap, hints) => code128.decode(bitmap, hints).getText() },
];

/** The symbols in one picture, at most one of each kind. */
export function readSymbols(bitmap: BinaryBitmap, hints: Hints = HINTS): readonly Reading[] {
  return READERS.flatMap(({ symbol, read }) => {
    try {
      return [{ symbol, text: read(bitmap, hints) }];
    } catch {
      // A reader says «no such symbol here» by throwing, and throws other things when clutter leads its
      // geometry astray. Either way this picture holds no reading of that kind.
      return [];
    }
  });
}
