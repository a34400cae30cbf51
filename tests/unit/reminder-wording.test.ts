/** The site's own words over the catalogue's reminder lines. */
import { describe, expect, test } from 'vitest';
import { linesInTurn } from '../../src/domain/catalogue/reminder-turn.ts';
import { remindersFor } from '../../src/domain/catalogue/reminders.ts';
import { asStageCode } from '../../src/domain/ids.ts';
import { isUnconfirmed, overdueReviews, reminderLines } from '../../src/domain/reminder-wording.ts';
import type { Wording } from '../../src/domain/site-book.ts';
import { siteBook } from '../support/builders.ts';

const STI = asStageCode('STI');
const wording = (line: string, text: string | null, review = '2027-06-01'): Wording => ({
  line,
  text,
  by: 'Ruth Adeyemi',
  on: '2026-06-01',
  review,
});
const bookWith = (...wordings: readonly Wording[]) =>
  siteBook({ reminders: { version: 1, wordings: [...wordings] } });

describe('a stage’s lines', () => {
  test('are the catalogue’s where the site has said nothing', () => {
    const lines = reminderLines(STI, siteBook());
    expect(lines.map(({ id, text }) => [id, text])).toEqual(
      remindersFor(STI).map(({ id, text }) => [id, text]),
    );
    expect(lines.every((line) => line.wording === null)).toBe(true);
  });

  test('carry the site’s words with their author, day and review, and keep sign and place', () => {
    const [first, ...rest] = remindersFor(STI);
    const [worded, ...others] = reminderLines(STI, bookWith(wording('STITCH-1', 'Thumbs behind the bar.')));
    expect(worded).toEqual({
      ...first,
      text: 'Thumbs behind the bar.',
      wording: { by: 'Ruth Adeyemi', on: '2026-06-01', review: '2027-06-01' },
    });
    expect(others.map(({ id }) => id)).toEqual(rest.map(({ id }) => id));
  });

  test('leave out what was switched off', () => {
    const lines = reminderLines(STI, bookWith(wording('STITCH-1', null)));
    expect(lines.map(({ id }) => id)).toEqual(
      remindersFor(STI)
        .map(({ id }) => id)
        .filter((id) => id !== 'STITCH-1'),
    );
  });

  test('are worded wherever the line is shown', () => {
    const book = bookWith(wording('SCOUR-1', 'Fan on first.'));
    for (const stage of ['SC1', 'SC2', 'BSC'].map(asStageCode)) {
      expect(reminderLines(stage, book).map(({ text }) => text)).toContain('Fan on first.');
    }
  });

  test('are none for a stage of the site’s own', () => {
    expect(reminderLines(asStageCode('TAG'), siteBook())).toEqual([]);
  });
});

test('a line that wants confirming waits until it is worded, even with the catalogue’s own words', () => {
  const [before] = reminderLines(STI, siteBook());
  const [after] = reminderLines(STI, bookWith(wording('STITCH-1', before?.text ?? '')));
  expect([before, after].map((line) => line !== undefined && isUnconfirmed(line))).toEqual([true, false]);
});

test('lines take turns in the site’s words, and what is off takes no turn', () => {
  const lines = reminderLines(STI, bookWith(wording('STITCH-1', null), wording('STITCH-2', 'Glasses on.')));
  expect(linesInTurn(lines, 0).map(({ text }) => text)[0]).toBe('Glasses on.');
  const shown = Array.from({ length: 40 }, (_, turn) => linesInTurn(lines, turn).map(({ id }) => id)).flat();
  expect(new Set(shown)).toEqual(new Set(lines.map(({ id }) => id)));
});

describe('overdue reviews', () => {
  const book = bookWith(
    wording('GEN-1', 'a', '2026-11-24'),
    wording('GEN-2', null, '2026-01-31'),
    wording('GEN-4', 'c', '2026-11-25'),
    wording('GEN-8', 'd', '2027-01-01'),
  );

  test('are those whose day has passed, the longest first, switched off or not', () => {
    expect(overdueReviews(book, '2026-11-25').map(({ line }) => line)).toEqual(['GEN-2', 'GEN-1']);
  });

  test('are none on the day itself', () => {
    expect(overdueReviews(book, '2026-01-31')).toEqual([]);
  });
});
