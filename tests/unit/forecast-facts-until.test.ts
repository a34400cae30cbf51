import { describe, expect, test } from 'vitest';
import type { PairFacts, SpellFacts } from '../../src/domain/figures/facts.ts';
import { factsUntil } from '../../src/domain/forecast/facts-until.ts';
import { asBenchId, asPairId, asRecordId } from '../../src/domain/ids.ts';
import { HOUR_MS } from '../../src/domain/instant.ts';
import { INES, MONDAY_8, TOMASZ, WLT } from '../support/builders.ts';

const at = (hours: number) => MONDAY_8 + hours * HOUR_MS;
const told = (hours: number, record: string) => ({ at: at(hours), record: asRecordId(record) });

const spell: SpellFacts = {
  id: asRecordId('in'),
  stage: WLT,
  shoe: 'both',
  bench: asBenchId('bench-welting'),
  hands: [
    { hand: INES, from: at(2) },
    { hand: TOMASZ, from: at(3) },
  ],
  answers: [],
  from: at(2),
  to: at(4),
  timed: true,
  outcome: 'done',
  endedBy: asRecordId('out'),
  undone: { left: told(6, 'back'), right: null },
  amendedBy: [],
};

const pair: PairFacts = {
  pair: asPairId('P7K4292W'),
  job: 'RS',
  promised: '2026-12-10',
  logged: told(0, 'logged'),
  first: told(0, 'logged'),
  stays: [{ from: told(0, 'logged'), to: told(9, 'closed'), unfinished: true }],
  closed: told(9, 'closed'),
  handedBack: true,
  spells: [spell],
  waits: [
    {
      stage: WLT,
      shoe: 'both',
      from: at(0),
      to: at(2),
      begunBy: asRecordId('logged'),
      endedBy: asRecordId('in'),
      served: true,
    },
  ],
  holds: [
    { why: 'owner', from: at(1), to: at(8), begunBy: asRecordId('asked'), endedBy: asRecordId('answered') },
  ],
  sentBack: [{ ...told(6, 'back'), from: WLT, to: WLT, shoe: 'left', fault: null }],
  flags: [],
};

describe('a pair’s facts until an earlier instant', () => {
  test('before it was met there are none, and after it had left they are all', () => {
    expect(factsUntil(pair, at(-1))).toBeNull();
    expect(factsUntil(pair, at(9))).toEqual(pair);
  });

  test('while it waited the wait had no end, and of job and promise of now nothing was known', () => {
    const then = factsUntil(pair, at(1.5));
    expect(then).toMatchObject({
      job: null,
      promised: null,
      closed: null,
      handedBack: false,
      spells: [],
      sentBack: [],
    });
    expect(then?.stays).toEqual([{ from: told(0, 'logged'), to: null, unfinished: false }]);
    expect(then?.waits).toMatchObject([{ from: at(0), to: null, endedBy: null, served: false }]);
    expect(then?.holds).toMatchObject([{ from: at(1), to: null, endedBy: null }]);
  });

  test('while it was worked the spell was open, and who joined later had not joined', () => {
    expect(factsUntil(pair, at(2.5))?.spells).toMatchObject([
      {
        to: null,
        outcome: 'open',
        endedBy: null,
        hands: [{ hand: INES }],
        undone: { left: null, right: null },
      },
    ]);
  });

  test('done, it was done; that it would be sent back nobody knew', () => {
    expect(factsUntil(pair, at(5))?.spells).toEqual([{ ...spell, undone: { left: null, right: null } }]);
    expect(factsUntil(pair, at(6))?.spells).toEqual([spell]);
    expect(factsUntil(pair, at(6))?.sentBack).toHaveLength(1);
  });
});
