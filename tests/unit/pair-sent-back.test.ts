import { describe, expect, test } from 'vitest';
import type { RecordOf } from '../../src/domain/record/kinds.ts';
import { handAt, INT, LAY, spellOf, stateAfter, WELTING, WLT } from '../support/builders.ts';

describe('sent back', () => {
  const bench = handAt(WELTING);
  const [welt, inseam, sole] = [WLT, INT, LAY].map((stage) => bench.write('done-unscanned', { stage }));
  if (welt === undefined || inseam === undefined || sole === undefined) throw new Error('not written');
  const back = (told: Partial<RecordOf<'sent-back'>>) =>
    bench.write('sent-back', { from: LAY, to: WLT, ...told });

  test.each(['left', 'right'] as const)('with the %s shoe, the spell is undone on that shoe', (shoe) => {
    const record = back({ shoe });
    const { undone } = spellOf(stateAfter(welt, record), welt);
    expect(undone).toEqual({ left: null, right: null, [shoe]: record.id });
  });

  test.each(['left', 'right'] as const)(
    'with the %s shoe, the pair needs where it goes and what is undone on the way, and nothing else',
    (shoe) => {
      const record = back({ shoe, again: [{ stage: INT, shoe }] });
      expect(stateAfter(welt, inseam, sole, record).asked).toEqual([WLT, INT]);
    },
  );

  test('for a second time, the pair needs nothing more for what was undone before', () => {
    const first = back({ shoe: 'both', again: [{ stage: LAY, shoe: 'both' }] });
    const drop = bench.write('not-needed', { stage: LAY });
    const again = bench.write('done-unscanned');
    const second = back({ shoe: 'both' });
    expect(stateAfter(welt, sole, first, drop, again, second).asked).toEqual([WLT]);
  });
});
