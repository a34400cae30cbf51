import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { placeOf } from '../../src/domain/cursor.ts';
import { inOrder, type Ordered, type Placed, SLACK_MS } from '../../src/domain/fold/order.ts';
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import { arrivalsOf, honestHistories, wildHeaps } from '../support/histories.ts';

/** Whether `first` is known to have been before `then`: written anew here, from the rules in words. */
function knownBefore(first: Placed, then: Placed): boolean {
  const [a, b] = [first.record, then.record];
  if (a.bench === b.bench) return a.seq < b.seq;
  const place = placeOf(b.seen);
  const seen = place !== null && first.pos !== null && first.epoch === place.epoch && first.pos <= place.pos;
  const namedIn = ['of', 'note', 'after'].some((field) =>
    Object.entries(b).some(([key, id]) => key === field && id === a.id),
  );
  return seen || namedIn;
}

const pairsOf = <Item>(items: readonly Item[]) =>
  items.flatMap((later, index) => items.slice(0, index).map((earlier) => [earlier, later] as const));

const placedBy = (history: readonly Placed[], record: LedgerRecord) => {
  const found = history.find((candidate) => candidate.record.id === record.id);
  if (found === undefined) throw new Error(`${record.id} was never made`);
  return found;
};

describe('any heap of records', () => {
  test('has one order, whatever the order of arrival and the repetitions', () => {
    const heapAndArrivals = wildHeaps.chain((heap) => fc.tuple(fc.constant(heap), arrivalsOf(heap)));
    fc.assert(
      fc.property(heapAndArrivals, ([heap, arrived]) => {
        expect(inOrder(arrived)).toEqual(inOrder(heap));
      }),
    );
  });

  test('keeps every record, each of them once', () => {
    fc.assert(
      fc.property(wildHeaps, (heap) => {
        const ids = (records: readonly { readonly record: LedgerRecord }[]) =>
          records.map(({ record }) => record.id);
        expect(ids(inOrder(heap)).toSorted()).toEqual(ids(heap).toSorted());
      }),
    );
  });
});

describe('an honest history with clocks hours off', () => {
  const histories = honestHistories(12);

  test('never puts a record before one that is known to have been before it', () => {
    fc.assert(
      fc.property(histories, ({ made }) => {
        const ordered = inOrder(made).map(({ record }) => placedBy(made, record));
        for (const [earlier, later] of pairsOf(ordered)) expect(knownBefore(later, earlier)).toBe(false);
      }),
    );
  });

  test('calls a clock doubtful exactly where it contradicts what was known to be before', () => {
    fc.assert(
      fc.property(histories, ({ made }) => {
        for (const { record, clockDoubtful } of inOrder(made)) {
          const then = placedBy(made, record);
          const contradicted = made.some(
            (first) => first !== then && knownBefore(first, then) && first.record.at > record.at + SLACK_MS,
          );
          expect(clockDoubtful).toBe(contradicted);
        }
      }),
    );
  });

  test('leaves neighbours in the order of their instants where nothing else is known', () => {
    fc.assert(
      fc.property(histories, ({ made }) => {
        const ordered = inOrder(made);
        for (const [index, { record }] of ordered.entries()) {
          const next = ordered[index + 1]?.record;
          if (next === undefined || next.at >= record.at) continue;
          expect(knownBefore(placedBy(made, record), placedBy(made, next))).toBe(true);
        }
      }),
    );
  });
});

/**
 * The plain way to put records in order, as the rules say it: of those that nothing waiting must precede, the earliest;
 * where there is none, the earliest of all.
 */
function plainly(placed: readonly Placed[]): readonly Ordered[] {
  const waiting = [...placed].sort(
    ({ record: a }, { record: b }) =>
      a.at - b.at || compare(a.bench, b.bench) || a.seq - b.seq || compare(a.id, b.id),
  );
  const gone: Placed[] = [];
  const ordered: Ordered[] = [];
  while (waiting.length > 0) {
    const free = waiting.findIndex(
      (then) => !waiting.some((first) => first !== then && knownBefore(first, then)),
    );
    const [next] = waiting.splice(Math.max(free, 0), 1);
    if (next === undefined) break;
    const late = gone.some(
      (first) => first.record.at > next.record.at + SLACK_MS && knownBefore(first, next),
    );
    ordered.push({ record: next.record, clockDoubtful: free < 0 || late });
    gone.push(next);
  }
  return ordered;
}

const compare = (a: string, b: string) => (a < b ? -1 : a > b ? 1 : 0);

test.each([
  ['any heap of records', wildHeaps],
  ['an honest history with clocks hours off', honestHistories(12).map(({ made }) => made)],
])('%s is put in order as the rules say it, read plainly', (_, histories) => {
  fc.assert(
    fc.property(histories, (placed) => {
      expect(inOrder(placed)).toEqual(plainly(placed));
    }),
    { numRuns: 500 },
  );
});

test('an honest history with right clocks is told as it happened, and no clock is doubted', () => {
  fc.assert(
    fc.property(honestHistories(0), ({ made }) => {
      expect(inOrder(made)).toEqual(made.map(({ record }) => ({ record, clockDoubtful: false })));
    }),
  );
});
