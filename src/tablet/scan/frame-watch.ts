/**
 * Notices a camera that has gone dead without saying so: no new frame for `FROZEN_MS`, or frames that do not
 * differ in a single sampled byte for as long. Tablets do this when they come back from the background.
 */
export const FROZEN_MS = 3000;

export interface FrameWatch {
  /** When the last new frame came. */
  readonly frameAt: number;
  /** The last picture looked at, since when it has been the same, and when it was looked at last. */
  readonly picture: { readonly print: number; readonly since: number; readonly at: number } | null;
  /** Two different pictures have been seen: the stream is a live one. */
  readonly proven: boolean;
}

/** A stream has just been put on. */
export function watchFrom(at: number): FrameWatch {
  return { frameAt: at, picture: null, proven: false };
}

/** A new frame was presented, whether it is looked at or not. */
export function sawFrame(watch: FrameWatch, at: number): FrameWatch {
  return { ...watch, frameAt: at };
}

/** A picture was looked at; `print` differs whenever the picture does. */
export function sawPicture(watch: FrameWatch, print: number, at: number): FrameWatch {
  const { picture, proven } = watch;
  if (picture?.print === print) return { ...watch, picture: { ...picture, at } };
  return { ...watch, picture: { print, since: at, at }, proven: proven || picture !== null };
}

export function isFrozen({ frameAt, picture }: FrameWatch, now: number): boolean {
  return now - frameAt >= FROZEN_MS || (picture !== null && picture.at - picture.since >= FROZEN_MS);
}
