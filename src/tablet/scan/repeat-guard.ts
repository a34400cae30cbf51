/**
 * A ticket lies in view for as long as the work takes, and the camera reads it ten times a second. The guard
 * holds a code that was taken until it has been seen to leave the view, so that it is not taken twice.
 *
 * Only watched time counts as absence: a ticket that lay there before the camera rested and after is still the
 * same showing. The person is then told to take it away and show it again, rather than being clocked out.
 */

/** A code out of view for this long has left: long enough for a hand passing in front, or a bad second of focus. */
export const LEFT_VIEW_MS = 1500;
/** Two frames further apart than this were not watched in between; the slowest decoder manages one in less. */
export const WATCHED_GAP_MS = 1000;

interface Held {
  readonly takenAt: number;
  /** Watched milliseconds since the code was last seen. */
  readonly absentMs: number;
  /** The camera was off since the code was last seen; said once. */
  readonly unwatched: boolean;
}

export interface Guard {
  readonly held: ReadonlyMap<string, Held>;
  readonly lookedAt: number | null;
}

export const NOTHING_HELD: Guard = { held: new Map(), lookedAt: null };

/** Whether `text` has been taken and may not be taken again by the camera yet. */
export function isHeld(guard: Guard, text: string): boolean {
  return guard.held.has(text);
}

/**
 * One frame has been looked at.
 * @param at milliseconds on a clock that only goes forward
 * @param inView every text read in the frame, taken or not
 * @param pauseMs the shortest time between two takings of one code, however far it went
 * @returns the guard after it, and the held codes that turn out to lie there still after an unwatched time
 */
export function look(
  guard: Guard,
  at: number,
  inView: readonly string[],
  pauseMs: number,
): { readonly guard: Guard; readonly stillInView: readonly string[] } {
  const passedMs = guard.lookedAt === null ? 0 : at - guard.lookedAt;
  const unwatched = guard.lookedAt === null || passedMs > WATCHED_GAP_MS;
  const stillInView: string[] = [];
  const held = new Map<string, Held>();
  for (const [text, before] of guard.held) {
    const wasInView = before.absentMs < LEFT_VIEW_MS;
    const rested = at - before.takenAt >= pauseMs;
    if (!wasInView && rested) continue;
    if (inView.includes(text)) {
      if (wasInView && (before.unwatched || unwatched)) stillInView.push(text);
      held.set(text, { ...before, absentMs: 0, unwatched: false });
      continue;
    }
    const absentMs = before.absentMs + Math.min(passedMs, WATCHED_GAP_MS);
    const gone = absentMs >= LEFT_VIEW_MS && rested;
    if (!gone) held.set(text, { ...before, absentMs, unwatched: before.unwatched || unwatched });
  }
  return { guard: { held, lookedAt: at }, stillInView };
}

/** `text` has been taken from the camera, so it is in view. */
export function takeInView(guard: Guard, text: string, at: number): Guard {
  return hold(guard, text, { takenAt: at, absentMs: 0, unwatched: false });
}

/**
 * `text` has come from the wedge or the keypad: it is no evidence of anything in view, but the camera shall not
 * take it as well if it is.
 */
export function takeByHand(guard: Guard, text: string, at: number): Guard {
  return hold(guard, text, { takenAt: at, absentMs: LEFT_VIEW_MS, unwatched: false });
}

/** Whether `text` was taken less than `pauseMs` ago: a trigger pulled twice. */
export function takenJustNow(guard: Guard, text: string, at: number, pauseMs: number): boolean {
  const before = guard.held.get(text);
  return before !== undefined && at - before.takenAt < pauseMs;
}

function hold(guard: Guard, text: string, entry: Held): Guard {
  return { ...guard, held: new Map(guard.held).set(text, entry) };
}
