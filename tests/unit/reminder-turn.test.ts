import { expect, test } from 'vitest';
import { remindersInTurn } from '../../src/domain/catalogue/reminder-turn.ts';
import { remindersFor } from '../../src/domain/catalogue/reminders.ts';
import { STAGES } from '../../src/domain/catalogue/stages.ts';
import { asStageCode } from '../../src/domain/ids.ts';

test('never more than three, and the stage’s own come first', () => {
  for (const { code } of STAGES) {
    const lines = remindersInTurn(code, 7);
    expect(lines.length).toBeLessThanOrEqual(3);
    expect(new Set(lines.map(({ id }) => id)).size).toBe(lines.length);
    expect(lines.every((line) => remindersFor(code).includes(line))).toBe(true);
  }
  const [first, second] = remindersInTurn(asStageCode('STI'), 0);
  expect([first?.id, second?.id]).toEqual(['STITCH-1', 'STITCH-2']);
});

test('turn after turn every line of a stage is shown', () => {
  for (const { code } of STAGES) {
    const all = remindersFor(code).map(({ id }) => id);
    const shown = new Set(
      Array.from({ length: 60 }, (_, turn) => remindersInTurn(code, turn).map(({ id }) => id)).flat(),
    );
    expect([...shown].sort()).toEqual([...all].sort());
  }
});

test('a stage without reminders shows none', () => {
  expect(remindersInTurn(asStageCode('WRP'), 3)).toEqual([]);
  expect(remindersInTurn(asStageCode('NONE'), 3)).toEqual([]);
});
