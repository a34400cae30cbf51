/** The desk's page: counted by hand for one small shift, and for any history the same as folding the whole ledger. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { CURSOR_START } from '../../src/domain/cursor.ts';
import { flagsAt } from '../../src/domain/flags.ts';
import { foldPair } from '../../src/domain/fold/pair.ts';
import {
  asBenchId,
  asPairId,
  asStageCode,
  type BenchId,
  type PairId,
  type StageCode,
} from '../../src/domain/ids.ts';
import { HOUR_MS, MINUTE_MS } from '../../src/domain/instant.ts';
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import { shiftAt } from '../../src/domain/site-book.ts';
import { DeskFollower } from '../../src/server/desk-follower.ts';
import { deskView } from '../../src/server/desk-view.ts';
import { allPlaced } from '../../src/server/ledger/held.ts';
import type { ServerLedger } from '../../src/server/ledger/ledger.ts';
import { openSqliteLedger } from '../../src/server/ledger/sqlite.ts';
import { deskNowSchema } from '../../src/wire/desk.ts';
import {
  DESK,
  EPOCH,
  fullBook,
  type Hand,
  handAt,
  INES,
  LAY,
  LAYING,
  MONDAY_8,
  RUTH,
  SITE,
  siteBook,
  stateAfter,
  TOMASZ,
  WELTING,
  WLT,
} from '../support/builders.ts';
import { newSiteOf, testServer } from '../support/server.ts';
import { oneShift } from '../support/shift.ts';

const [P1, P2, P3] = ['P0000001', 'P0000002', 'P0000003'].map(asPairId) as [PairId, PairId, PairId];
const MORNING = oneShift('Morning', MONDAY_8 - HOUR_MS, MONDAY_8 + 5 * HOUR_MS);
const EVENING = oneShift('Evening', MORNING.to, MORNING.to + 8 * HOUR_MS);
const BOOK = siteBook({ shifts: [MORNING, EVENING] });

async function push(ledger: ServerLedger, records: readonly LedgerRecord[]): Promise<void> {
  for (const record of records) {
    const writer = { site: SITE, bench: record.bench, place: 'bench' as const };
    const [answer] = await ledger.append(writer, [record], MONDAY_8);
    if (answer?.answer === 'refused') throw new Error(answer.reasons.join());
  }
}

async function standingOf(ledger: ServerLedger) {
  const standing = await ledger.standing(SITE, WELTING);
  if (standing === null) throw new Error('no site');
  return standing;
}

/** Every pair of the ledger folded, with no follower between. */
async function fromScratch(ledger: ServerLedger, now: number) {
  const pairs = await ledger.pairsTouched(SITE, 0, Number.MAX_SAFE_INTEGER);
  const { epoch } = await standingOf(ledger);
  const states = await Promise.all(
    pairs.map(async (pair) => foldPair(pair, allPlaced(await ledger.recordsOfPair(SITE, pair), epoch))),
  );
  const shift = shiftAt(BOOK, now);
  return deskView({ pairs: states, book: BOOK, shift, since: shift?.from ?? now });
}

describe('a shift counted by hand', () => {
  /** Pair 1 goes through welting and into laying; pair 2 is booked in twice and out once; pair 3 was taken back. */
  async function counted() {
    const server = await testServer({
      book: { shifts: [MORNING, EVENING], benches: [{ bench: WELTING, name: 'Welting', stages: [WLT] }] },
    });
    const [welting, laying] = [handAt(WELTING, INES), handAt(LAYING, TOMASZ, MONDAY_8 + HOUR_MS)];
    const first = welting.write('clocked-in', { pair: P1 });
    const firstOut = welting.write('clocked-out', { pair: P1, of: first.id });
    const second = welting.write('clocked-in', { pair: P2 });
    const secondOut = welting.write('clocked-out', { pair: P2, of: second.id, outcome: 'not-finished' });
    const again = welting.write('clocked-in', { pair: P2 });
    const againOut = welting.write('clocked-out', { pair: P2, of: again.id });
    const third = welting.write('clocked-in', { pair: P3 });
    const back = welting.write('voided', { pair: P3, of: third.id });
    const onward = laying.write('clocked-in', { pair: P1, stage: LAY });
    await push(server.ledger, [
      handAt(asBenchId('desk-office'), null, MONDAY_8 - 30 * MINUTE_MS).write('pair-logged', { pair: P1 }),
      ...[first, firstOut, second, secondOut, again, againOut, third, back, onward],
    ]);
    const desk = await server.enrol('desk');
    server.now = MONDAY_8 + 2 * HOUR_MS;
    return { server, now: deskNowSchema.parse(await (await desk.get('/api/desk/now')).json()), onward };
  }

  test('pairs in and out are pairs, each once, and what was taken back is not counted', async () => {
    const { now } = await counted();
    expect(now.shift).toEqual({ name: 'Morning', from: MORNING.from, to: MORNING.to });
    const line = (stage: string) => now.stages.find((one) => one.stage === stage);
    expect(line(WLT)).toEqual({ stage: WLT, name: 'Welt sewing', pairsIn: 2, pairsOut: 2, openNow: 0 });
    expect(line(LAY)).toEqual({ stage: LAY, name: 'Sole laying', pairsIn: 1, pairsOut: 0, openNow: 1 });
    expect(now.stages.map(({ stage }) => stage)).toEqual(BOOK.stages.map(({ code }) => code));
  });

  test('an open spell names its pair, its bench, who is on it and since when', async () => {
    const { now, onward } = await counted();
    expect(now.open).toEqual([
      {
        spell: onward.id,
        pair: P1,
        stage: LAY,
        bench: LAYING,
        benchName: LAYING,
        by: TOMASZ,
        byName: 'Tomasz Lindqvist',
        since: MONDAY_8 + HOUR_MS,
      },
    ]);
  });

  test('pairs in work are those of which something stands, and flags say how many pairs show each', async () => {
    const { now } = await counted();
    expect(now.pairsOpen).toBe(2);
    expect(now.flags).toEqual([{ flag: 'never-logged', pairs: 2, examples: [P2, P3] }]);
    expect(now.state.heldSeq).toBe(0);
  });

  test('the next shift begins at nothing, with the open work carried over', async () => {
    const { server } = await counted();
    const desk = await server.enrol('desk');
    server.now = EVENING.from + MINUTE_MS;
    const now = deskNowSchema.parse(await (await desk.get('/api/desk/now')).json());
    expect(now.shift).toEqual({ name: 'Evening', from: EVENING.from, to: EVENING.to });
    expect(now.stages.map(({ pairsIn, pairsOut }) => pairsIn + pairsOut)).toEqual([0, 0, 0, 0]);
    expect(now.open.length).toBe(1);
  });

  test('between shifts there is none, and no figure is made up for it', async () => {
    const { server } = await counted();
    const desk = await server.enrol('desk');
    server.now = EVENING.to;
    const now = deskNowSchema.parse(await (await desk.get('/api/desk/now')).json());
    expect(now.shift).toBeNull();
    expect(now.stages.every(({ pairsIn, pairsOut }) => pairsIn + pairsOut === 0)).toBe(true);
  });
});

test('a closed pair is forgotten once its shift is over, and remembered when a late record takes the closing back', async () => {
  const ledger = await openSqliteLedger(':memory:');
  await ledger.createSite(newSiteOf({ shifts: [MORNING, EVENING] }));
  const follower = new DeskFollower(ledger, SITE);
  const hand = handAt(WELTING);
  const into = hand.write('clocked-in', { pair: P1 });
  const out = hand.write('clocked-out', { pair: P1, of: into.id, closes: true });
  await push(ledger, [into, out]);
  const view = async (now: number) => follower.view(await standingOf(ledger), BOOK, now);
  expect((await view(MONDAY_8)).pairsOpen).toBe(0);
  expect(follower.kept).toBe(1);
  await view(EVENING.from);
  expect(follower.kept).toBe(0);
  await push(ledger, [hand.write('voided', { pair: P1, of: out.id })]);
  expect((await view(EVENING.from)).open.map(({ spell }) => spell)).toEqual([into.id]);
  // The server's clock is put right: the morning's figures are there again.
  expect(await view(MONDAY_8)).toEqual(await fromScratch(ledger, MONDAY_8));
  await ledger.close();
});

const DEEDS = [
  'pair-logged',
  'clocked-in',
  'clocked-out',
  'voided',
  'set-aside',
  'sent-back',
  'noted',
] as const;

/** A deed, to be pushed; or null: the desk asks. */
const steps = fc.array(
  fc.option(
    fc.record({
      deed: fc.constantFrom(...DEEDS),
      bench: fc.nat(1),
      pair: fc.nat(2),
      pick: fc.nat(30),
      minute: fc.integer({ min: -200, max: 700 }),
      closes: fc.boolean(),
    }),
    { freq: 3, nil: null },
  ),
  { minLength: 5, maxLength: 40, size: 'max' },
);

test('after any history, asked at any time and after a restart, the follower shows what the whole ledger says', async () => {
  await fc.assert(
    fc.asyncProperty(
      steps,
      fc.array(fc.integer({ min: -200, max: 1_000 }), { minLength: 1, maxLength: 6 }),
      async (history, minutes) => {
        const ledger = await openSqliteLedger(':memory:');
        await ledger.createSite(newSiteOf({ shifts: [MORNING, EVENING] }));
        const hands = [handAt(WELTING), handAt(LAYING)] as [Hand, Hand];
        const follower = new DeskFollower(ledger, SITE);
        const made: LedgerRecord[] = [];
        const check = async (asked: DeskFollower, index: number) => {
          // The clock goes wherever it likes, back as well.
          const now = MONDAY_8 + (minutes[index % minutes.length] ?? 0) * MINUTE_MS;
          expect(await asked.view(await standingOf(ledger), BOOK, now)).toEqual(
            await fromScratch(ledger, now),
          );
        };
        for (const [index, step] of history.entries()) {
          if (step === null) {
            await check(follower, index);
            continue;
          }
          const pair = [P1, P2, P3][step.pair] ?? P1;
          const candidates = made.filter((one) => step.deed === 'voided' || one.kind === 'clocked-in');
          const of = candidates[step.pick % Math.max(1, candidates.length)]?.id;
          const told = {
            pair,
            at: MONDAY_8 + step.minute * MINUTE_MS,
            closes: step.closes,
            seen: CURSOR_START,
          };
          const hand = hands[step.bench] ?? hands[0];
          const record = hand.write(step.deed, { ...told, ...(of === undefined ? {} : { of }) } as object);
          made.push(record);
          await push(ledger, [record]);
        }
        await check(follower, history.length);
        await check(new DeskFollower(ledger, SITE), history.length);
        await ledger.close();
      },
    ),
    { numRuns: 60 },
  );
}, 60_000);

describe('a pair open at two benches', () => {
  const PRP = asStageCode('PRP');
  const STI = asStageCode('STI');
  const HBL = asStageCode('HBL');
  const book = fullBook({ shifts: [MORNING, EVENING] });

  /** Worked at two benches at once, at these stages. */
  const flagsOf = (stages: readonly [StageCode, StageCode], site = book, logged = true) => {
    const [desk, one, other] = [handAt(DESK, RUTH), handAt(WELTING, INES), handAt(LAYING, TOMASZ)];
    const state = stateAfter(
      ...(logged ? [desk.write('pair-logged')] : []),
      one.write('clocked-in', { stage: stages[0], at: MONDAY_8 + MINUTE_MS }),
      other.write('clocked-in', { stage: stages[1], at: MONDAY_8 + 2 * MINUTE_MS }),
    );
    const view = deskView({ pairs: [state], book: site, shift: MORNING, since: MORNING.from });
    return view.flags.map(({ flag }) => flag);
  };

  test.each<[string, [StageCode, StageCode], boolean]>([
    ['a heel built while the soles are made ready', [PRP, HBL], false],
    ['a heel built while the soles are laid', [LAY, HBL], false],
    ['a welt sewn while the soles are made ready', [WLT, PRP], false],
    ['soles laid that are being stitched', [LAY, STI], true],
    ['soles stitched that are still made ready', [PRP, STI], true],
    ['the same stage', [STI, STI], true],
  ])('%s: named %s', (_, stages, named) => {
    expect(flagsOf(stages)).toEqual(named ? ['open-at-two-benches'] : []);
  });

  test('is always named where the site has no routes, or the pair has no kind of job', () => {
    expect(flagsOf([PRP, HBL], BOOK)).toEqual(['open-at-two-benches']);
    expect(flagsOf([PRP, HBL], book, false)).toContain('open-at-two-benches');
  });

  test('is named by the spell that was still open, not by one that had ended', () => {
    const [desk, one, other] = [handAt(DESK, RUTH), handAt(WELTING, INES), handAt(LAYING, TOMASZ)];
    const at = (minute: number) => ({ at: MONDAY_8 + minute * MINUTE_MS });
    const laid = other.write('clocked-in', { stage: LAY, ...at(1) });
    const laidOut = other.write('clocked-out', { stage: LAY, of: laid.id, ...at(2) });
    const heel = one.write('clocked-in', { stage: HBL, ...at(3) });
    const stitched = other.write('clocked-in', { stage: STI, ...at(4) });
    const state = stateAfter(desk.write('pair-logged'), laid, laidOut, heel, stitched);
    expect(state.flags.map(({ flag }) => flag)).toEqual(['open-at-two-benches']);
    expect(flagsAt(state, book)).toEqual([]);
  });
});

test('a new epoch is followed from the start', async () => {
  const ledger = await openSqliteLedger(':memory:');
  await ledger.createSite(newSiteOf());
  const follower = new DeskFollower(ledger, SITE);
  const bench: BenchId = WELTING;
  await push(ledger, [handAt(bench).write('clocked-in', { pair: P1 })]);
  const before = await follower.view(await standingOf(ledger), BOOK, MONDAY_8);
  expect((await standingOf(ledger)).epoch).toBe(EPOCH);
  await ledger.startEpoch(SITE, '4e5f6a7b');
  expect(await follower.view(await standingOf(ledger), BOOK, MONDAY_8)).toEqual(before);
  await ledger.close();
});
