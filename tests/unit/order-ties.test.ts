/** Records that only their names, benches, numbers or ids put in order, in whatever order they arrive. */
import { describe, expect, test } from 'vitest';
import { inOrder } from '../../src/domain/fold/order.ts';
import { asRecordId } from '../../src/domain/ids.ts';
import { MINUTE_MS } from '../../src/domain/instant.ts';
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import { DESK, handAt, LAYING, MONDAY_8, RUTH, unplaced, WELTING } from '../support/builders.ts';

const ordered = (...records: readonly LedgerRecord[]) =>
  inOrder(unplaced(records)).map(({ record }) => record);

describe('whatever arrives first', () => {
  const taken = (bench: typeof WELTING, seq: number) =>
    handAt(bench).write('taken-up', { seq, at: MONDAY_8 });
  const twin = (last: number) => ({
    ...taken(WELTING, 1),
    id: asRecordId(`019a4b2c-0000-7000-8000-00000000000${last}`),
  });

  test.each([
    ['of two benches the first by name', taken(LAYING, 2), taken(WELTING, 1)],
    ['of one bench the lower number', taken(WELTING, 1), taken(WELTING, 2)],
    ['of one number the lower id', twin(1), twin(2)],
  ])('at one instant %s goes before', (_, first, second) => {
    expect(ordered(first, second)).toEqual([first, second]);
    expect(ordered(second, first)).toEqual([first, second]);
  });
});

test('details put right go after the record that they name, by a clock that says otherwise', () => {
  const logged = handAt(DESK, RUTH).write('pair-logged', { at: MONDAY_8 });
  const amended = handAt(LAYING).write('pair-amended', { after: logged.id, at: MONDAY_8 - MINUTE_MS });
  expect(ordered(amended, logged)).toEqual([logged, amended]);
});
