/**
 * The contract of whatever finds symbols in a picture. A ladder that turns the frame or asks the device's own
 * detector first is a `Decoder` built out of others: nothing behind this line knows how many there are.
 */

/** One picture: RGBA, 8 bits a channel, rows from the top, no padding; `data` has width × height × 4 bytes. */
export interface Frame {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8ClampedArray<ArrayBuffer>;
}

/** The symbols that a ticket or badge may carry. Others are never looked for: each one more is one more misread. */
export type SymbolKind = 'qr' | 'data-matrix' | 'code-128';

/** What one symbol says, exactly as it says it: nothing trimmed, folded or mended, control characters included. */
export interface Reading {
  readonly text: string;
  readonly symbol: SymbolKind;
}

/**
 * Guarantees:
 * - `decode` answers for every picture, however odd: no symbol is an empty list. It rejects only when the
 *   decoder itself is broken and should be replaced.
 * - The symbol's own check (Code 128's check character, Reed-Solomon) held for every reading given.
 * - It keeps neither the frame nor its bytes after it has answered, and does not change them.
 * - It logs nothing and asks nobody outside this tablet.
 * Callers give one frame at a time.
 */
export interface Decoder {
  /** For diagnostics, never for decisions. */
  readonly name: string;
  decode(frame: Frame): Promise<readonly Reading[]>;
}
