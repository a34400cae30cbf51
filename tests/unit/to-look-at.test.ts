/** What nobody has come back to: found by shift and day, the oldest first, and nothing of it invented. */
import { describe, expect, test } from 'vitest';
import type { PairState } from '../../src/domain/fold/pair-state.ts';
import { asPairId } from '../../src/domain/ids.ts';
import { DAY_MS, HOUR_MS } from '../../src/domain/instant.ts';
import { toLookAt } from '../../src/domain/to-look-at.ts';
import { handAt, LAYING, MONDAY_8, siteBook, stateAfter, WELTING } from '../support/builders.ts';
import { oneShift } from '../support/shift.ts';

const TUESDAY_8 = MONDAY_8 + DAY_MS;
const early = (from: number) => oneShift('Early', from, from + 8 * HOUR_MS);
const BOOK = siteBook({ shifts: [early(MONDAY_8), early(TUESDAY_8)] });

const other = { pair: asPairId('P030000Y') };
const look = (states: readonly PairState[], now: number, book = BOOK) => toLookAt(states, book, now);

describe('what nobody has come back to', () => {
  test('shoes apart since before the shift, but for a pair that has left or is together again', () => {
    const parted = handAt(WELTING).write('parted', { at: MONDAY_8 });
    const rejoined = handAt(LAYING).write('rejoined', { at: MONDAY_8 + HOUR_MS });
    const gone = handAt(LAYING).write('handed-back', { at: MONDAY_8 + HOUR_MS });
    const today = handAt(WELTING).write('parted', { ...other, at: TUESDAY_8 + 1 });
    const states = [
      stateAfter(parted),
      stateAfter(parted, rejoined),
      stateAfter(parted, gone),
      stateAfter(today),
    ];
    expect(look(states, TUESDAY_8 + HOUR_MS).longParted.map((one) => one.parted.id)).toEqual([parted.id]);
  });

  test('wordings of reminders whose day of review has passed by the site’s calendar', () => {
    const wording = (line: string, review: string) => ({
      line,
      text: 'Guard down',
      by: 'Ruth Adeyemi',
      on: '2026-01-05',
      review,
    });
    const wordings = [
      wording('TRIM-1', '2026-11-02'),
      wording('TRIM-2', '2026-10-01'),
      wording('TRIM-3', '2026-11-03'),
    ];
    const book = siteBook({ reminders: { version: 1, wordings } });
    const due = look([], TUESDAY_8, book).reviews.map(({ line }) => line);
    expect(due).toEqual(['TRIM-2', 'TRIM-1']);
  });
});
