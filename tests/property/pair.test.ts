import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { inOrder, type Placed } from '../../src/domain/fold/order.ts';
import { foldPair, openSpells, type PairState } from '../../src/domain/fold/pair.ts';
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import { PAIR } from '../support/builders.ts';
import { arrivalsOf, honestHistories, wildHeaps } from '../support/histories.ts';

const recordsOf = (placed: readonly Placed[]) => placed.map(({ record }) => record);

/** What a void takes back: any record but a void. */
function takenBack(records: readonly LedgerRecord[]): Set<string> {
  const facts = new Set(records.filter(({ kind }) => kind !== 'voided').map(({ id }): string => id));
  const named = records.flatMap((record) => (record.kind === 'voided' ? [record.of] : []));
  return new Set(named.filter((id) => facts.has(id)));
}

/** What a record that stands and has no flag must have left in the state; the reason it has not, or null. */
function missing(record: LedgerRecord, state: PairState, later: readonly LedgerRecord[], gone: Set<string>) {
  const noteOf = (id: string) => state.notes.find(({ note }) => note.id === id);
  const decidesAgain = later.some(({ kind }) => ['set-aside', 'taken-up', 'clocked-in'].includes(kind));
  switch (record.kind) {
    case 'pair-logged':
      return state.logged?.id === record.id ? null : 'is not what the pair was logged as';
    case 'clocked-in':
      return state.spells.some(({ id }) => id === record.id) ? null : 'has no spell';
    case 'clocked-out': {
      const spell = state.spells.find(({ id }) => id === record.of);
      return spell?.endedBy === record.id && spell.outcome === record.outcome ? null : 'ended nothing';
    }
    case 'set-aside':
      return state.setAside?.id === record.id || decidesAgain ? null : 'is set aside no more';
    case 'taken-up':
      return state.setAside === null || decidesAgain ? null : 'is still set aside';
    case 'sent-back':
      return state.sentBack.some(({ id }) => id === record.id) ? null : 'was not sent back';
    case 'noted':
      return noteOf(record.id) ? null : 'is no note';
    case 'note-seen': {
      const seen = noteOf(record.note)?.seen ?? [];
      return seen.some(({ by, at }) => by === record.by && at === record.at) ? null : 'was not seen';
    }
    case 'note-cured':
      return noteOf(record.note)?.cured ? null : 'was not cured';
    case 'voided':
      return gone.has(record.of) ? null : 'took nothing back';
    default:
      return 'is about no pair';
  }
}

/** Every record that is in no part of the state, was not taken back and has no flag: with the reason. */
function lost(placed: readonly Placed[]): readonly string[] {
  const state = foldPair(PAIR, placed);
  const gone = takenBack(recordsOf(placed));
  const flagged = new Set(
    state.flags
      .filter(({ flag }) => flag !== 'clock-doubtful' && flag !== 'never-logged')
      .map(({ record }): string => record),
  );
  const standing = inOrder(placed)
    .map(({ record }) => record)
    .filter(({ id }) => !gone.has(id));
  return standing.flatMap((record, index) => {
    if (flagged.has(record.id)) return [];
    const reason = missing(record, state, standing.slice(index + 1), gone);
    return reason === null ? [] : [`${record.kind} ${reason}`];
  });
}

describe.each([
  ['any heap of records', wildHeaps],
  ['an honest history with clocks hours off', honestHistories(12).map(({ made }) => made)],
])('%s', (_, histories) => {
  test('gives one state, whatever the order of arrival and the repetitions', () => {
    const both = histories.chain((placed) => fc.tuple(fc.constant(placed), arrivalsOf(placed)));
    fc.assert(
      fc.property(both, ([placed, arrived]) => {
        expect(foldPair(PAIR, arrived)).toEqual(foldPair(PAIR, placed));
      }),
    );
  });

  test('loses no record: each is in the state, taken back, or flagged', () => {
    fc.assert(
      fc.property(histories, (placed) => {
        expect(lost(placed)).toEqual([]);
      }),
      { numRuns: 300 },
    );
  });

  test('flags only records that exist, and none twice for the same', () => {
    fc.assert(
      fc.property(histories, (placed) => {
        const ids = new Set(recordsOf(placed).map(({ id }) => id));
        const { flags } = foldPair(PAIR, placed);
        expect(flags.filter(({ record }) => !ids.has(record))).toEqual([]);
        expect(new Set(flags.map(({ flag, record }) => `${flag} ${record}`)).size).toBe(flags.length);
      }),
    );
  });

  test('shows nothing that was taken back', () => {
    fc.assert(
      fc.property(histories, (placed) => {
        const state = foldPair(PAIR, placed);
        const shown = [
          state.logged?.id,
          state.setAside?.id,
          state.last?.id,
          ...state.spells.flatMap(({ id, endedBy, undoneBy }) => [id, endedBy, undoneBy]),
          ...state.notes.map(({ note }) => note.id),
          ...state.sentBack.map(({ id }) => id),
        ];
        const gone = takenBack(recordsOf(placed));
        expect(shown.filter((id) => id && gone.has(id))).toEqual([]);
      }),
    );
  });

  test('has no spell of negative length, and none half ended', () => {
    fc.assert(
      fc.property(histories, (placed) => {
        for (const { from, to, outcome, endedBy } of foldPair(PAIR, placed).spells) {
          expect(to === null || to >= from).toBe(true);
          expect([to === null, endedBy === null]).toEqual([outcome === 'open', outcome === 'open']);
        }
      }),
    );
  });
});

/** A clock-out can only be made by somebody who knows the clock-in, so no clock may put it before. */
test('in an honest history a spell is open exactly if no standing clock-out names it, however wrong the clocks', () => {
  fc.assert(
    fc.property(honestHistories(12), ({ made }) => {
      const records = recordsOf(made);
      const gone = takenBack(records);
      const standing = records.filter(({ id }) => !gone.has(id));
      const ended = new Set(
        standing.flatMap((record): string[] => (record.kind === 'clocked-out' ? [record.of] : [])),
      );
      const open = standing
        .filter(({ kind, id }) => kind === 'clocked-in' && !ended.has(id))
        .map(({ id }) => id);
      const told = openSpells(foldPair(PAIR, made)).map(({ id }) => id);
      expect(told.toSorted()).toEqual(open.toSorted());
    }),
    { numRuns: 300 },
  );
});

/** What was restored has new positions in a new epoch; the old «seen» can no longer be compared with them. */
test('after a restored backup a clock-out still finds its clock-in, however wrong the clocks', () => {
  fc.assert(
    fc.property(honestHistories(12), ({ made }) => {
      const restored = made.map((one): Placed => (one.pos === null ? one : { ...one, epoch: 'cafe0001' }));
      const records = recordsOf(made);
      const gone = takenBack(records);
      const ins = new Set(records.flatMap(({ kind, id }): string[] => (kind === 'clocked-in' ? [id] : [])));
      const orphans = records.filter(
        (record) =>
          record.kind === 'clocked-out' &&
          !gone.has(record.id) &&
          (gone.has(record.of) || !ins.has(record.of)),
      );
      const { flags } = foldPair(PAIR, restored);
      const told = flags.filter(({ flag }) => flag === 'out-without-in').map(({ record }) => record);
      expect(told.toSorted()).toEqual(orphans.map(({ id }) => id).toSorted());
    }),
    { numRuns: 300 },
  );
});
