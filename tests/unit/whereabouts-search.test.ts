/** Finding pairs by whatever is known of them, in any script, among thousands. */
import { describe, expect, test } from 'vitest';
import { addressOfPair, pairAtAddress } from '../../src/desk/whereabouts-address.ts';
import { aroundIn } from '../../src/desk/whereabouts-around.ts';
import { listingOf } from '../../src/desk/whereabouts-list.ts';
import { PairIndex, slipBetween } from '../../src/desk/whereabouts-search.ts';
import { ALPHABET, issueTicket } from '../../src/domain/code.ts';
import { foldPair } from '../../src/domain/fold/pair.ts';
import type { PairState } from '../../src/domain/fold/pair-state.ts';
import { asPairId, asStageCode, type PairId } from '../../src/domain/ids.ts';
import { HOUR_MS } from '../../src/domain/instant.ts';
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import {
  DESK,
  DSP,
  fullBook,
  handAt,
  MONDAY_8,
  PAIR,
  placed,
  type Told,
  WELTING,
} from '../support/builders.ts';

const BOOK = fullBook();

function pairWith(pair: PairId, told: Told<'pair-logged'>, more: readonly LedgerRecord[] = []): PairState {
  return foldPair(pair, placed([handAt(DESK).write('pair-logged', { ...told, pair }), ...more]));
}

function ticketsOf(count: number): readonly PairId[] {
  const tickets: PairId[] = [];
  for (let counter = 0; tickets.length < count; ) {
    const { pair, next } = issueTicket(7, counter);
    tickets.push(pair);
    counter = next;
  }
  return tickets;
}

const [FIRST, SECOND, THIRD, FOURTH, FIFTH] = ticketsOf(5) as [PairId, PairId, PairId, PairId, PairId];
const PAIRS = new Map<PairId, PairState>([
  [
    PAIR,
    pairWith(PAIR, { ownerRef: 'A-1042', style: 'brown derby', last: '82', size: '8½', maker: 'Hollins' }),
  ],
  [FIRST, pairWith(FIRST, { ownerRef: 'Ødegård 7', style: 'suède chukka', last: '104', size: '9' })],
  [SECOND, pairWith(SECOND, { ownerRef: 'עמית 300', style: 'حذاء أسود', last: '83', size: '10' })],
  [THIRD, pairWith(THIRD, { ownerRef: '👞 shop window', style: 'black oxford', last: '84', size: '11' })],
  [FOURTH, pairWith(FOURTH, { ownerRef: '<img src=x onerror=alert(1)>', style: 'black derby', last: '85' })],
  [FIFTH, foldPair(FIFTH, placed([handAt(WELTING).write('clocked-in', { pair: FIFTH, unknownPair: true })]))],
]);

function indexOf(pairs: ReadonlyMap<PairId, PairState>): PairIndex {
  const index = new PairIndex();
  index.update(pairs);
  return index;
}

const found = (query: string) => indexOf(PAIRS).search(query, null);
const pairsFor = (query: string) => found(query).map(({ pair }) => pair);

describe('search', () => {
  test.each([
    ['the ticket as printed', 'P7K4 292W', PAIR, 'ticket'],
    ['in small letters', 'p7k4292w', PAIR, 'ticket'],
    ['the tag of one shoe', 'P7K4292WL', PAIR, 'ticket'],
    ['its beginning', 'p7k4', PAIR, 'ticket'],
    ['its end', '292w', PAIR, 'ticket'],
    ['the owner’s reference', 'A-1042', PAIR, 'owner'],
    ['without its stroke', 'a1042', PAIR, 'owner'],
    ['with a blank for it', 'a 1042', PAIR, 'owner'],
    ['last, size and fitting', '82 8½ F', PAIR, 'last'],
    ['the last alone', '104', FIRST, 'last'],
    ['a size that nothing else has', '8½', PAIR, 'size'],
    ['a size, its fraction typed out', '81⁄2', PAIR, 'size'],
    ['style', 'oxford', THIRD, 'style'],
    ['words in another order', 'derby brown', PAIR, 'style'],
    ['words of two fields', 'hollins 82', PAIR, 'maker'],
    ['an accent left out', 'suede', FIRST, 'style'],
    ['an accent put in', 'óxford', THIRD, 'style'],
    ['a ring left out', 'degard', FIRST, 'owner'],
    ['Hebrew', 'עמית', SECOND, 'owner'],
    ['Arabic', 'أسود', SECOND, 'style'],
    ['Arabic without its hamza', 'اسود', SECOND, 'style'],
    ['an emoji', '👞', THIRD, 'owner'],
    ['what looks like markup', '<img', FOURTH, 'owner'],
    ['maker', 'hollins', PAIR, 'maker'],
    ['a pair that was never logged', FIFTH, FIFTH, 'ticket'],
  ] as const)('%s', (_, query, pair, by) => {
    expect(found(query)[0]).toMatchObject({ pair, by, compare: [] });
  });

  test('every word must be somewhere in the pair', () => {
    expect(pairsFor('brown oxford')).toEqual([]);
    expect(pairsFor('derby').sort()).toEqual([PAIR, FOURTH].sort());
  });

  test('nothing is found for a query without a word', () => {
    for (const query of ['', '   ', '-', '‏']) expect(pairsFor(query), JSON.stringify(query)).toEqual([]);
  });

  test('what matches as a whole comes before what only has it in it', () => {
    const pairs = new Map([
      [FIRST, pairWith(FIRST, { ownerRef: 'B-10421', style: 'grey oxford' })],
      [SECOND, pairWith(SECOND, { ownerRef: 'A-1042', style: 'grey oxford' })],
      [THIRD, pairWith(THIRD, { ownerRef: 'B-1042', style: 'grey oxford' })],
    ]);
    expect(
      indexOf(pairs)
        .search('b 1042', null)
        .map(({ pair }) => pair),
    ).toEqual([THIRD, FIRST]);
    expect(indexOf(pairs).search('1042', null).at(-1)?.pair).toBe(FIRST);
  });

  test('pairs in the works come before those that have gone out', () => {
    const bench = handAt(WELTING, null, MONDAY_8 + HOUR_MS);
    const began = bench.write('clocked-in', { pair: FIRST, stage: DSP });
    const out = bench.write('clocked-out', { pair: FIRST, stage: DSP, of: began.id, closes: true });
    const pairs = new Map([
      [FIRST, pairWith(FIRST, {}, [began, out])],
      [SECOND, pairWith(SECOND, {})],
    ]);
    expect(
      indexOf(pairs)
        .search('a-1042', null)
        .map(({ pair }) => pair),
    ).toEqual([SECOND, FIRST]);
  });
});

describe('a ticket typed badly is offered with what to compare, and never taken', () => {
  test.each([
    ['one character misread', 'P7K4292X', [{ position: 8, read: 'X', perhaps: 'W' }]],
    ['a letter that is not in the alphabet', 'P7K4Z92W', [{ position: 5, read: 'Z', perhaps: '2' }]],
    [
      'two neighbours turned round',
      'P7K4922W',
      [
        { position: 5, read: '9', perhaps: '2' },
        { position: 6, read: '2', perhaps: '9' },
      ],
    ],
    ['one left out', 'P7K492W', [{ position: 5, read: '', perhaps: '2' }]],
    ['one too many', 'P7K42929W', [{ position: 7, read: '9', perhaps: '' }]],
  ] as const)('%s', (_, typed, compare) => {
    const [first] = found(typed);
    expect(first).toMatchObject({ pair: PAIR, by: null });
    if (typed.length === PAIR.length) expect(first?.compare).toEqual(compare);
    else expect(first?.compare).toHaveLength(1);
  });

  test('any one slip in any place finds its pair', () => {
    const index = indexOf(PAIRS);
    for (let at = 1; at < PAIR.length; at += 1)
      for (const other of ALPHABET) {
        const typed = PAIR.slice(0, at) + other + PAIR.slice(at + 1);
        if (typed !== PAIR) expect(index.search(typed, null)[0]?.pair, typed).toBe(PAIR);
      }
  });

  test('more than a slip is another ticket', () => {
    expect(slipBetween('P7K4AAAA', PAIR)).toBeNull();
    expect(slipBetween('P7K4', PAIR)).toBeNull();
    expect(pairsFor('P7KXXX2W')).toEqual([]);
  });
});

describe('the index', () => {
  test('reads only what is new or another', () => {
    const index = indexOf(PAIRS);
    expect(index.update(PAIRS)).toBe(0);
    const changed = new Map(PAIRS).set(FIRST, pairWith(FIRST, { ownerRef: 'Z-9' }));
    changed.delete(THIRD);
    expect(index.update(changed)).toBe(1);
    expect(index.search('z9', null).map(({ pair }) => pair)).toEqual([FIRST]);
    expect(index.search('ødegård', null)).toEqual([]);
    expect(index.search('oxford', null)).toEqual([]);
  });

  test('5,000 pairs are searched between two keys', () => {
    const styles = ['brown derby', 'black oxford', 'tan brogue', 'suède chukka'];
    const pairs = new Map(
      ticketsOf(5000).map((pair, at) => [
        pair,
        pairWith(pair, { ownerRef: `K-${at}`, style: styles[at % 4] ?? '', last: String(at % 90) }),
      ]),
    );
    const index = indexOf(pairs);
    const queries = ['k-4999', 'brown', 'derby 42', 'nothing such', 'P7K4292X', 's'];
    const began = performance.now();
    for (const query of queries) index.search(query, null);
    // A tenth of a second is what feels at once (Nielsen, Usability Engineering, 1993; from memory); five times that
    // for a machine that runs other tests beside.
    expect((performance.now() - began) / queries.length).toBeLessThan(500);
    expect(index.search('k-4999', null)[0]?.by).toBe('owner');
  });
});

describe('what the other pairs tell', () => {
  const LAS = asStageCode('LAS');
  test('who has the last in it, and how many stand before a stage', () => {
    const bench = handAt(WELTING, null, MONDAY_8 + HOUR_MS);
    const taken = bench.write('last-taken', { pair: FIRST, last: '82 8 F' });
    const pairs = new Map([
      [PAIR, pairWith(PAIR, {})],
      [FIRST, pairWith(FIRST, {}, [taken])],
      [SECOND, pairWith(SECOND, {})],
    ]);
    const around = aroundIn(pairs, BOOK);
    expect(around.lastHeldBy('82 8 F', PAIR)).toBe(FIRST);
    expect(around.lastHeldBy('82 8 F', FIRST)).toBeNull();
    expect(around.queueAt(asStageCode('TRI'), PAIR)).toBe(2);
    expect(around.queueAt(LAS, PAIR)).toBe(0);
  });
});

test('the list counts and orders: what is promised soonest first', () => {
  const pairs = new Map([
    [FIRST, pairWith(FIRST, { promised: '2026-12-10', yes: 'to-ask' })],
    [SECOND, pairWith(SECOND, { promised: '2026-11-10' })],
    [FIFTH, foldPair(FIFTH, placed([handAt(WELTING).write('found-here', { pair: FIFTH })]))],
  ]);
  const { counts, pairs: shown } = listingOf(pairs, 'works', '2026-11-11');
  expect(counts).toEqual({ works: 3, owner: 1, late: 1, unlogged: 1, out: 0 });
  expect(shown).toEqual([FIFTH, SECOND, FIRST]);
  expect(listingOf(pairs, 'late', '2026-11-10').pairs).toEqual([]);
});

test.each([
  ['/desk/where', null],
  ['/desk/where/', null],
  ['/desk/where/P7K4292W', 'P7K4292W'],
  ['/desk/where/AB%2F12', 'AB/12'],
  ['/desk/where/%', null],
  ['/desk/where/<b>', null],
])('the address %s names %s', (address, pair) => {
  expect(pairAtAddress(address)).toBe(pair);
  if (pair !== null) expect(addressOfPair(asPairId(pair))).toBe(address);
});
