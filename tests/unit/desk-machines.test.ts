/** Machines out of use at the desk: read from the desk's own ledger, told by the whereabouts, ruled by a supervisor. */
import { describe, expect, test } from 'vitest';
import { ruleMachine } from '../../src/desk/machine-acts.ts';
import { machinesAt, machinesOut, mayRuleMachines, outOfUseIn } from '../../src/desk/machines.ts';
import { cursorAt } from '../../src/domain/cursor.ts';
import { HOUR_MS } from '../../src/domain/instant.ts';
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import { machineWords } from '../../src/words/to-look-at.ts';
import {
  DESK,
  EPOCH,
  handAt,
  INES,
  LAY,
  LAYING,
  MONDAY_8,
  RUTH,
  siteBook,
  WELTING,
  WLT,
} from '../support/builders.ts';
import { MemoryLedger } from '../support/memory-ledger.ts';

const BOOK = siteBook({
  stages: [
    {
      code: WLT,
      name: 'Welt sewing',
      plain: 'having the welts sewn',
      machine: true,
      reminds: false,
      settles: null,
    },
    {
      code: LAY,
      name: 'Sole laying',
      plain: 'having the soles laid',
      machine: false,
      reminds: false,
      settles: null,
    },
  ],
  benches: [
    { bench: WELTING, name: 'Welting', stages: [WLT] },
    { bench: LAYING, name: 'Laying', stages: [LAY] },
  ],
});

async function ledgerWith(...records: readonly LedgerRecord[]): Promise<MemoryLedger> {
  const ledger = new MemoryLedger();
  const pulled = records.map((record, index) => ({ pos: index + 1, record }));
  await ledger.apply(pulled, cursorAt({ epoch: EPOCH, pos: records.length }));
  return ledger;
}

const bench = handAt(WELTING);
const stopped = bench.write('machine-stopped', { why: 'guard loose' });

describe('machines out of use', () => {
  test('are those whose last word is that they may not be run, wherever it was said', async () => {
    const out = { bench: WELTING, stage: WLT, why: 'guard loose', since: stopped.at, by: INES };
    expect(await machinesOut(await ledgerWith(stopped), BOOK)).toEqual([out]);
    const back = handAt(DESK, RUTH, MONDAY_8 + HOUR_MS).write('machine-back');
    expect(await machinesOut(await ledgerWith(stopped, back), BOOK)).toEqual([]);
    const again = handAt(DESK, RUTH, MONDAY_8 + HOUR_MS).write('machine-stopped', { why: 'worse' });
    expect(await machinesOut(await ledgerWith(stopped, again), BOOK)).toMatchObject([
      { why: 'worse', by: RUTH },
    ]);
  });

  test('a bench may be set to any machine stage of the site, and to nothing else with a machine', () => {
    expect(machinesAt(BOOK)).toEqual([
      { bench: WELTING, stage: WLT },
      { bench: LAYING, stage: WLT },
    ]);
  });

  test('hold a stage up only where no other bench does it', async () => {
    const out = await machinesOut(await ledgerWith(stopped), BOOK);
    expect(outOfUseIn(BOOK, out)(WLT)).toBe('guard loose');
    expect(outOfUseIn(BOOK, out)(LAY)).toBeNull();
    const two = { benches: [...BOOK.benches, { bench: DESK, name: 'Welting 2', stages: [WLT] }] };
    expect(outOfUseIn({ ...BOOK, ...two }, out)(WLT)).toBeNull();
  });

  test('are ruled by a supervisor alone, and never without a word of why', () => {
    const ruling = [RUTH, INES, null].map((at) => mayRuleMachines(at, BOOK));
    expect(ruling).toEqual([true, false, false]);
    const machine = { bench: WELTING, stage: WLT };
    expect(ruleMachine('machine-back', machine, ' tried on a scrap ')).toEqual({
      is: 'acts',
      acts: [{ kind: 'machine-back', said: { where: WELTING, stage: WLT, why: 'tried on a scrap' } }],
    });
    expect(ruleMachine('machine-stopped', machine, ' ')).toEqual({
      is: 'missing',
      says: machineWords.whyMissing,
    });
    expect(ruleMachine('machine-stopped', null, 'x')).toEqual({
      is: 'missing',
      says: machineWords.chooseFirst,
    });
  });
});
