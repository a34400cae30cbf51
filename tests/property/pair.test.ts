import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { inOrder, type Placed } from '../../src/domain/fold/order.ts';
import { foldPair } from '../../src/domain/fold/pair.ts';
import type { PairState } from '../../src/domain/fold/pair-state.ts';
import { isDone, openSpells } from '../../src/domain/fold/spells.ts';
import { wordsHeld } from '../../src/domain/fold/words.ts';
import type { StageCode } from '../../src/domain/ids.ts';
import { type LedgerRecord, type RecordOf, type Shoe, SIDES } from '../../src/domain/record/kinds.ts';
import { LAY, PAIR, WLT } from '../support/builders.ts';
import { arrivalsOf, honestHistories, wildHeaps } from '../support/histories.ts';

const recordsOf = (placed: readonly Placed[]) => placed.map(({ record }) => record);

/** What a void takes back: any record but a void. */
function takenBack(records: readonly LedgerRecord[]): Set<string> {
  const facts = new Set(records.filter(({ kind }) => kind !== 'voided').map(({ id }): string => id));
  const named = records.flatMap((record) => (record.kind === 'voided' ? [record.of] : []));
  return new Set(named.filter((id) => facts.has(id)));
}

const shoesOf = (shoe: Shoe) => SIDES.filter((side) => shoe === 'both' || shoe === side);

/** Whether a later record of one of these kinds has the say now. */
const saidLater = (later: readonly LedgerRecord[], ...kinds: readonly LedgerRecord['kind'][]) =>
  later.some(({ kind }) => kinds.includes(kind));

/** Whether the pair leaves the works later; it then stands on no rack and has no last. */
const leftLater = (later: readonly LedgerRecord[]) =>
  later.some(
    (record) =>
      record.kind === 'handed-back' ||
      ((record.kind === 'clocked-out' || record.kind === 'time-given') &&
        record.closes &&
        record.outcome === 'done'),
  );

/** What a record that stands and has no flag must have left in the state; the reason it has not, or null. */
function missing(record: LedgerRecord, state: PairState, later: readonly LedgerRecord[], gone: Set<string>) {
  const noteOf = (id: string) => state.notes.find(({ note }) => note.id === id);
  const held = (records: readonly { readonly id: string }[]) => records.some(({ id }) => id === record.id);
  const decidesAgain = saidLater(later, 'set-aside', 'taken-up', 'clocked-in');
  switch (record.kind) {
    case 'pair-logged':
      return state.logged?.id === record.id ? null : 'is not what the pair was logged as';
    case 'pair-amended':
      return held(state.amended) ? null : 'put nothing right';
    case 'owner-asked':
    case 'owner-answered':
      // After the owner's stop an asking changes nothing: the stop stands until the owner answers anew.
      return state.owner.since === record.at ||
        saidLater(later, 'owner-asked', 'owner-answered') ||
        (record.kind === 'owner-asked' && state.owner.is === 'stopped')
        ? null
        : 'says nothing of the owner';
    case 'pictured':
      return held(state.pictures) ? null : 'is no picture';
    case 'ticket-reprinted':
      return state.reprints > later.filter(({ kind }) => kind === record.kind).length
        ? null
        : 'is no reprint';
    case 'handed-back':
      return state.handedBack?.id === record.id || saidLater(later, 'handed-back', 'clocked-in', 'sent-back')
        ? null
        : 'was not given back';
    case 'clocked-in':
      return held(state.spells) ? null : 'has no spell';
    case 'clocked-out': {
      const spell = state.spells.find(({ id }) => id === record.of);
      return spell?.endedBy === record.id && spell.outcome === record.outcome ? null : 'ended nothing';
    }
    case 'hand-joined': {
      const joined = state.spells.find(({ id }) => id === record.of)?.joined ?? [];
      return joined.some(({ hand, as }) => hand === record.hand && as === record.as)
        ? null
        : 'joined nothing';
    }
    case 'done-unscanned':
      return state.spells.some(({ id, outcome, timed }) => id === record.id && outcome === 'done' && !timed)
        ? null
        : 'is not done';
    case 'set-aside':
      return state.setAside?.id === record.id || decidesAgain ? null : 'is set aside no more';
    case 'taken-up':
      return state.setAside === null || decidesAgain ? null : 'is still set aside';
    case 'sent-back': {
      const { asked, sentBack } = state;
      if (!held(sentBack)) return 'was not sent back';
      const needed = asked.includes(record.to) || saidLater(later, 'not-needed');
      return needed ? null : 'is not needed where it was sent back to';
    }
    case 'parted':
      return state.parted?.id === record.id || saidLater(later, 'parted', 'rejoined') ? null : 'is together';
    case 'rejoined':
      return state.parted === null || saidLater(later, 'parted') ? null : 'is still parted';
    case 'racked':
      return state.rack === record.rack ||
        saidLater(later, 'racked', 'unracked', 'set-aside', 'found-here', 'sent-back') ||
        leftLater(later)
        ? null
        : 'is on no rack';
    case 'unracked':
      return state.rack !== record.rack || saidLater(later, 'racked') ? null : 'is still on the rack';
    case 'last-taken':
      return state.last === record.last || saidLater(later, 'last-taken', 'last-freed') || leftLater(later)
        ? null
        : 'has no last';
    case 'last-freed':
      return state.last === null || saidLater(later, 'last-taken') ? null : 'still has its last';
    case 'checked':
      return state.checked?.id === record.id || saidLater(later, 'checked', 'sent-back')
        ? null
        : 'is unchecked';
    case 'boxed':
      return state.boxed?.id === record.id || saidLater(later, 'boxed', 'sent-back') ? null : 'is in no box';
    case 'noted':
      return noteOf(record.id) ? null : 'is no note';
    case 'note-seen': {
      const seen = noteOf(record.note)?.seen ?? [];
      return seen.some(({ by, at }) => by === record.by && at === record.at) ? null : 'was not seen';
    }
    case 'note-cured':
      return noteOf(record.note)?.cured ? null : 'was not cured';
    case 'note-released':
      return noteOf(record.note)?.released ? null : 'was not released';
    case 'let-through':
      return held(state.letThrough) ? null : 'lets nothing through';
    case 'not-needed':
      return held(state.notNeeded) || saidLater(later, 'stage-asked', 'sent-back') ? null : 'is needed';
    case 'stage-asked':
      return record.stages.every((stage) => state.asked.includes(stage)) || saidLater(later, 'not-needed')
        ? null
        : 'is not asked for';
    case 'found-here':
      return state.met?.id === record.id || later.length > 0 ? null : 'was not met';
    case 'time-given': {
      const spell = state.spells.find(({ id }) => id === record.of);
      return spell?.amendedBy.includes(record.id) ? null : 'gave no time';
    }
    case 'looked-into':
      return held(state.lookedInto) ? null : 'looked into nothing';
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
          state.latest?.id,
          state.met?.id,
          state.parted?.id,
          state.checked?.id,
          state.boxed?.id,
          state.handedBack?.id,
          ...state.spells.flatMap(({ id, endedBy, undone }) => [id, endedBy, undone.left, undone.right]),
          ...state.spells.flatMap(({ amendedBy }) => amendedBy),
          ...state.lookedInto.map(({ id }) => id),
          ...state.notes.map(({ note }) => note.id),
          ...[state.sentBack, state.amended, state.letThrough].flat().map(({ id }) => id),
          ...[state.notNeeded, state.pictures].flat().map(({ id }) => id),
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

/** Given an end or an outcome, a spell is ended like by a clock-out. */
function endsWork(record: LedgerRecord): record is RecordOf<'time-given'> {
  return record.kind === 'time-given' && (record.to !== null || record.outcome !== null);
}

/** A clock-out can only be made by somebody who knows the clock-in, so no clock may put it before. */
test('in an honest history a spell is open exactly if no standing clock-out or given end names it, however wrong the clocks', () => {
  fc.assert(
    fc.property(honestHistories(12), ({ made }) => {
      const records = recordsOf(made);
      const gone = takenBack(records);
      const standing = records.filter(({ id }) => !gone.has(id));
      const ended = new Set(
        standing.flatMap((record): string[] =>
          record.kind === 'clocked-out' || endsWork(record) ? [record.of] : [],
        ),
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

/** What the records say, read one after the other without spells: which shoe the stage is finished on. */
function finishedOn(records: readonly LedgerRecord[], stage: StageCode): readonly string[] {
  const begun = new Map<string, Shoe>();
  const finished = new Set<string>();
  const ended = new Set<string>();
  for (const record of records) {
    if (record.kind === 'clocked-in' && record.stage === stage) begun.set(record.id, record.shoe);
    const ends =
      (record.kind === 'clocked-out' || endsWork(record)) && begun.has(record.of) && !ended.has(record.of);
    if (ends) ended.add(record.of);
    const done =
      record.kind === 'done-unscanned' && record.stage === stage
        ? record.shoe
        : ends && record.outcome === 'done'
          ? begun.get(record.of)
          : undefined;
    if (done !== undefined) for (const side of shoesOf(done)) finished.add(side);
    if (record.kind !== 'sent-back') continue;
    for (const again of [{ stage: record.to, shoe: record.shoe }, ...record.again])
      if (again.stage === stage) for (const side of shoesOf(again.shoe)) finished.delete(side);
  }
  return SIDES.filter((side) => finished.has(side));
}

describe.each([
  ['any heap of records', wildHeaps],
  ['an honest history', honestHistories(3).map(({ made }) => made)],
])('%s, shoe by shoe', (_, histories) => {
  test('a stage is done on a shoe exactly where it was finished there and not asked for again since', () => {
    fc.assert(
      fc.property(histories, (placed) => {
        const state = foldPair(PAIR, placed);
        const gone = takenBack(recordsOf(placed));
        const standing = inOrder(placed)
          .map(({ record }) => record)
          .filter(({ id }) => !gone.has(id));
        for (const stage of [WLT, LAY]) {
          const finished = finishedOn(standing, stage);
          expect(SIDES.filter((side) => isDone(state, stage, side))).toEqual(finished);
          expect(isDone(state, stage)).toBe(finished.length === 2);
        }
      }),
      { numRuns: 400 },
    );
  });

  test('a sent-back marks spells of no other stage and no other shoe than those it names', () => {
    fc.assert(
      fc.property(histories, (placed) => {
        const state = foldPair(PAIR, placed);
        for (const { id, to, shoe, again } of state.sentBack) {
          const named = [{ stage: to, shoe }, ...again];
          for (const { stage, undone } of state.spells) {
            const sides = SIDES.filter((side) => undone[side] === id);
            const may = named.filter((one) => one.stage === stage).flatMap((one) => shoesOf(one.shoe));
            expect(sides.filter((side) => !may.includes(side))).toEqual([]);
          }
        }
      }),
    );
  });

  test('a word that lets past holds until its stage is done, and not longer', () => {
    fc.assert(
      fc.property(histories, (placed) => {
        const gone = takenBack(recordsOf(placed));
        const standing = inOrder(placed)
          .map(({ record }) => record)
          .filter(({ id }) => !gone.has(id));
        const state = foldPair(PAIR, placed);
        const endsOf = new Map(state.spells.map((spell) => [spell.endedBy, spell]));
        for (const [index, word] of standing.entries()) {
          if (word.kind !== 'let-through') continue;
          const used = standing.slice(index + 1).some(({ id, kind }) => {
            if (kind === 'owner-asked' && word.past === 'owners-yes') return true;
            const spell = endsOf.get(id);
            return spell?.stage === word.stage && (spell.outcome === 'done' || word.past === 'not-released');
          });
          expect(wordsHeld(state).includes(word)).toBe(!used);
        }
      }),
      { numRuns: 300 },
    );
  });
});
