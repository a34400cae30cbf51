import { describe, expect, test } from 'vitest';
import {
  type Guard,
  isHeld,
  look,
  NOTHING_HELD,
  takeByHand,
  takeInView,
  takenJustNow,
} from '../../src/tablet/scan/repeat-guard.ts';

const PAUSE = 2000;
const TICKET = 'P7K4292W';

/** Frames every 100 ms from `from` up to but not including `to`. */
function watch(guard: Guard, from: number, to: number, inView: readonly string[]): Guard {
  let now = guard;
  for (let at = from; at < to; at += 100) now = look(now, at, inView, PAUSE).guard;
  return now;
}

const taken = takeInView(look(NOTHING_HELD, 0, [TICKET], PAUSE).guard, TICKET, 0);

describe('a ticket taken from the camera', () => {
  test('is held for as long as it lies in view', () => {
    expect(isHeld(watch(taken, 100, 60_000, [TICKET]), TICKET)).toBe(true);
  });

  test('is free again when it has been out of view for 1.5 s and the pause is over', () => {
    const seen = watch(taken, 100, 3000, [TICKET]);
    expect(isHeld(watch(seen, 3000, 4400, []), TICKET)).toBe(true);
    expect(isHeld(watch(seen, 3000, 4500, []), TICKET)).toBe(false);
  });

  test('is held through the pause although it left at once', () => {
    expect(isHeld(watch(taken, 100, 2000, []), TICKET)).toBe(true);
    expect(isHeld(watch(taken, 100, 2100, []), TICKET)).toBe(false);
  });

  test('is held through a hand that passes in front of it', () => {
    const hand = watch(taken, 100, 1500, []);
    const again = watch(hand, 1500, 1700, [TICKET]);
    expect(isHeld(watch(again, 1700, 3000, []), TICKET)).toBe(true);
  });

  test('does not count as gone while the camera was off, and that is said once', () => {
    const back = look(taken, 3_600_000, [TICKET], PAUSE);
    expect(back.stillInView).toEqual([TICKET]);
    expect(isHeld(back.guard, TICKET)).toBe(true);
    expect(look(back.guard, 3_600_100, [TICKET], PAUSE).stillInView).toEqual([]);
  });

  test('is said to lie there still also when the first frame after the rest missed it', () => {
    const missed = look(taken, 3_600_000, [], PAUSE);
    expect(look(missed.guard, 3_600_100, [TICKET], PAUSE).stillInView).toEqual([TICKET]);
  });

  test('holds no other ticket', () => {
    expect(isHeld(taken, 'P030000Y')).toBe(false);
  });
});

describe('a ticket from the wedge', () => {
  const byHand = takeByHand(NOTHING_HELD, TICKET, 0);

  test('counts as just taken for the pause', () => {
    expect(takenJustNow(byHand, TICKET, PAUSE - 1, PAUSE)).toBe(true);
    expect(takenJustNow(byHand, TICKET, PAUSE, PAUSE)).toBe(false);
  });

  test('is not taken again by the camera when it lies in view', () => {
    const seen = watch(byHand, 100, 10_000, [TICKET]);
    expect(isHeld(seen, TICKET)).toBe(true);
  });

  test('is free for a camera that sees it for the first time after the pause, however long that was off', () => {
    const { guard, stillInView } = look(byHand, PAUSE, [TICKET], PAUSE);
    expect(stillInView).toEqual([]);
    expect(isHeld(guard, TICKET)).toBe(false);
  });
});
