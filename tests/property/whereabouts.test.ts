/** Whatever benches and desks record, in whatever order it comes in: nothing is lost, and nobody is named to an owner. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { lineOf } from '../../src/desk/whereabouts-acts.ts';
import { PairIndex } from '../../src/desk/whereabouts-search.ts';
import { foldPair } from '../../src/domain/fold/pair.ts';
import { DAY_MS } from '../../src/domain/instant.ts';
import { lineSchema } from '../../src/domain/record/envelope.ts';
import { whereaboutsOf } from '../../src/domain/whereabouts.ts';
import { accountOf } from '../../src/domain/whereabouts-account.ts';
import { placeLine, promiseLine, waitLine } from '../../src/words/whereabouts.ts';
import { recordLine } from '../../src/words/whereabouts-account.ts';
import { ownerSentences } from '../../src/words/whereabouts-sentence.ts';
import { DESK, fullBook, handAt, MONDAY_8, PAIR, placed } from '../support/builders.ts';
import { arrivalsOf, honestHistories, wildHeaps } from '../support/histories.ts';

const BOOK = fullBook();
const HISTORIES = fc.oneof(
  honestHistories(48).map(({ made }) => made),
  wildHeaps,
);
const NOW = MONDAY_8 + 3 * DAY_MS;
/** A text of the trade in capitals is no code: none of the book's plain names has any. */
const CODES = BOOK.stages.map(({ code }) => code);
const NAMES = BOOK.operatives.flatMap(({ id, name }) => [id, ...name.split(' ')]);

test('every record of a pair stands once in its account, with a line', () => {
  fc.assert(
    fc.property(
      HISTORIES.chain((made) => arrivalsOf(made)),
      (arrived) => {
        const account = accountOf(arrived, foldPair(PAIR, arrived));
        const ids = account.map(({ record }) => record.id);
        expect(new Set(ids).size).toBe(ids.length);
        expect(new Set(ids)).toEqual(new Set(arrived.map(({ record }) => record.id)));
        for (const { record } of account) expect(recordLine(record, BOOK)).toMatch(/\S/);
      },
    ),
  );
});

test('the sentence has no code and no name, whatever was recorded', () => {
  fc.assert(
    fc.property(HISTORIES, fc.integer({ min: 0, max: 60 }), (made, days) => {
      const now = NOW + days * DAY_MS;
      const where = whereaboutsOf(foldPair(PAIR, made), BOOK, now);
      const sentences = ownerSentences(where, { book: BOOK, now, upTo: now - DAY_MS });
      expect(sentences.length).toBeGreaterThan(0);
      for (const sentence of sentences) {
        expect(sentence).toMatch(/^[A-Z].*\.$/);
        for (const word of [...CODES, ...NAMES]) expect(sentence.split(/\W+/)).not.toContain(word);
      }
    }),
  );
});

test('nothing that was typed reaches the owner', () => {
  fc.assert(
    fc.property(fc.string({ minLength: 8, maxLength: 40 }), (text) => {
      const typed = `${lineOf(text)}~typed~`;
      const office = handAt(DESK);
      const records = [
        office.write('pair-logged', { yes: 'to-ask', ownerRef: typed, style: typed, asked: typed }),
        office.write('owner-asked', { why: typed }),
        office.write('noted', { text: typed, weight: 'stop' }),
        office.write('set-aside', { reason: typed }),
        office.write('sent-back', { reason: typed }),
      ];
      for (let count = 1; count <= records.length; count += 1) {
        const state = foldPair(PAIR, placed(records.slice(0, count)));
        const words = ownerSentences(whereaboutsOf(state, BOOK, NOW), { book: BOOK, now: NOW, upTo: NOW });
        expect(words.join(' ')).not.toContain('~typed~');
      }
    }),
  );
});

test('whereabouts can be said of any history, the same whatever the order of arrival', () => {
  fc.assert(
    fc.property(
      HISTORIES.chain((made) => fc.tuple(fc.constant(made), arrivalsOf(made))),
      ([made, arrived]) => {
        const where = whereaboutsOf(foldPair(PAIR, made), BOOK, NOW);
        expect(whereaboutsOf(foldPair(PAIR, arrived), BOOK, NOW)).toEqual(where);
        const naming = { book: BOOK, now: NOW, desk: DESK };
        const lines = [
          placeLine(where.place, naming).says,
          ...where.waits.map((one) => waitLine(one, naming)),
          ...(where.promise === null ? [] : [promiseLine(where.promise, naming)]),
        ];
        for (const line of lines) expect(line).not.toMatch(/undefined|NaN|\[object/);
      },
    ),
  );
});

test('what was typed is a line that a record takes, or nothing', () => {
  fc.assert(
    fc.property(fc.string({ unit: 'binary', maxLength: 300 }), (text) => {
      const line = lineOf(text);
      if (line !== '') expect(lineSchema(200).safeParse(line).success).toBe(true);
    }),
  );
});

test('a pair is found by the whole of its owner’s reference, in any script', () => {
  fc.assert(
    fc.property(fc.string({ unit: 'grapheme', minLength: 1, maxLength: 20 }), (text) => {
      const ownerRef = lineOf(text);
      fc.pre(/[\p{L}\p{N}\p{S}]/u.test(ownerRef));
      const index = new PairIndex();
      index.update(
        new Map([[PAIR, foldPair(PAIR, placed([handAt(DESK).write('pair-logged', { ownerRef })]))]]),
      );
      expect(index.search(ownerRef, null).map(({ pair }) => pair)).toContain(PAIR);
    }),
  );
});
