/** What the page and the decode worker say to each other. */
import type { Reading } from './decoder.ts';

/** What came of one picture. */
export interface Look {
  readonly readings: readonly Reading[];
  /** Differs whenever the picture does; see `framePrint`. */
  readonly print: number;
}

/** The picture is transferred: the worker closes it. One at a time; each is answered by one `looked`. */
export interface ToWorker {
  readonly kind: 'look';
  readonly picture: ImageBitmap;
}

export type FromWorker =
  /** Sent once before the first picture is wanted, and again when a broken decoder has been replaced. */
  | { readonly kind: 'started'; readonly decoder: string }
  | { readonly kind: 'looked'; readonly look: Look }
  /** No decoder can run here. Nothing more will come. */
  | { readonly kind: 'failed'; readonly reason: string };
