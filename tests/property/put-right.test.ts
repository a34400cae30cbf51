/** The list of what is to be put right, over any heap of records: it is computed alike everywhere, and settled is settled. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Placed } from '../../src/domain/fold/order.ts';
import { foldPair } from '../../src/domain/fold/pair.ts';
import { asBenchId, type RecordId } from '../../src/domain/ids.ts';
import { DAY_MS, HOUR_MS } from '../../src/domain/instant.ts';
import { toPutRight } from '../../src/domain/put-right.ts';
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import { fullBook, handAt, MONDAY_8, PAIR, RUTH, siteBook } from '../support/builders.ts';
import { arrivalsOf, honestHistories, wildHeaps } from '../support/histories.ts';
import { oneShift } from '../support/shift.ts';

const TUESDAY_8 = MONDAY_8 + DAY_MS;
const SHIFTS = [MONDAY_8, TUESDAY_8].map((from) => oneShift('Day', from, from + 8 * HOUR_MS));
const BOOKS = [siteBook({ shifts: SHIFTS }), fullBook({ shifts: SHIFTS })];
const NOW = TUESDAY_8 + 2 * DAY_MS;

const listOf = (placed: readonly Placed[], book = BOOKS[0] ?? siteBook()) =>
  toPutRight([foldPair(PAIR, placed)], [], book, book.shifts, NOW);
const asPlaced = (record: LedgerRecord): Placed => ({ record, pos: null, epoch: null });

describe.each([
  ['any heap of records', wildHeaps],
  ['an honest history with clocks hours off', honestHistories(12).map(({ made }) => made)],
])('%s', (_, histories) => {
  test('gives one list, whatever the order of arrival', () => {
    const both = histories.chain((placed) => fc.tuple(fc.constant(placed), arrivalsOf(placed)));
    fc.assert(
      fc.property(both, fc.constantFrom(...BOOKS), ([placed, arrived], book) => {
        expect(listOf(arrived, book)).toEqual(listOf(placed, book));
      }),
    );
  });

  test('names only records that are there and stand, and offers only times that have been', () => {
    fc.assert(
      fc.property(histories, fc.constantFrom(...BOOKS), (placed, book) => {
        const ids = new Set(placed.map(({ record }): RecordId => record.id));
        for (const { of, records, settlings, spell } of listOf(placed, book)) {
          expect(records).toContain(of);
          expect(records.filter((id) => !ids.has(id))).toEqual([]);
          expect(settlings.length).toBeGreaterThan(0);
          for (const way of settlings) {
            if (way.by !== 'time') continue;
            for (const { at } of way.offers) {
              expect(at).toBeLessThanOrEqual(NOW);
              expect(at).toBeGreaterThan((spell?.id === way.spell.id ? spell : way.spell).from);
            }
          }
        }
      }),
    );
  });

  test('what has been looked into never comes back, whatever comes in after it', () => {
    // The later records arrive late, so they may stand anywhere in the order, and take back anything but the word.
    const story = histories.chain((placed) =>
      fc.tuple(fc.constant(placed), fc.subarray([...placed]), fc.nat(), fc.constantFrom(...BOOKS)),
    );
    fc.assert(
      fc.property(story, ([placed, first, pick, book]) => {
        const items = listOf(first, book);
        const item = items[pick % Math.max(items.length, 1)];
        if (item === undefined) return;
        const looked = handAt(asBenchId('bench-z'), RUTH).write('looked-into', {
          of: item.of,
          what: item.kind,
          at: NOW,
        });
        const keys = listOf([...placed, asPlaced(looked)], book).map(({ kind, of }) => `${kind} ${of}`);
        expect(keys).not.toContain(`${item.kind} ${item.of}`);
      }),
      { numRuns: 300 },
    );
  });

  test('a time that is given ends what was open and never makes a negative spell', () => {
    const offset = fc.option(fc.integer({ min: -300, max: 300 }), { nil: null });
    fc.assert(
      fc.property(histories, offset, offset, fc.nat(), (placed, from, to, pick) => {
        const { spells } = foldPair(PAIR, placed);
        const spell = spells[pick % Math.max(spells.length, 1)];
        if (spell === undefined) return;
        const given = handAt(asBenchId('bench-z'), RUTH).write('time-given', {
          of: spell.id,
          at: NOW,
          from: from === null ? null : spell.from + from * 60_000,
          to: to === null ? null : spell.from + to * 60_000,
          outcome: to === null ? null : 'done',
        });
        const state = foldPair(PAIR, [...placed, asPlaced(given)]);
        const after = state.spells.find(({ id }) => id === spell.id);
        expect(after?.amendedBy.at(-1)).toBe(given.id);
        if (after === undefined) return;
        expect(after.to === null || after.to >= after.from).toBe(true);
        if (to !== null) expect(after.outcome).not.toBe('open');
        const crossed = (to ?? Number.POSITIVE_INFINITY) < (from ?? 0);
        if (crossed) expect(state.flags.map(({ flag }) => flag)).toContain('time-backwards');
      }),
      { numRuns: 300 },
    );
  });
});
