/**
 * Whatever is scanned and tapped at a bench, in whatever order, with news from elsewhere and a failing store in
 * between: the screen never breaks, nothing is recorded that contradicts itself, and nobody works past a stop.
 */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { stops } from '../../src/domain/fold/notes.ts';
import type { FlagKind, PairState } from '../../src/domain/fold/pair-state.ts';
import { openSpells, shareAShoe } from '../../src/domain/fold/spells.ts';
import { asStageCode, type PairId } from '../../src/domain/ids.ts';
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import { barOf } from '../../src/tablet/app/bar.ts';
import {
  BADGE_OF_INES,
  BADGE_OF_PIA,
  BADGE_OF_RUTH,
  BADGE_OF_TOMASZ,
  type Bench,
  dueAt,
  fullBench,
  SECOND,
  scan,
  settled,
  stateOf,
  yesterday,
} from '../support/bench.ts';
import { tapsOf } from '../support/bench-taps.ts';
import { type Hand, handAt, INT, LAYING, PAIR, RACK, TOMASZ, WELTING, WLT } from '../support/builders.ts';

const PAIRS: readonly PairId[] = [PAIR, SECOND];
const CHK = asStageCode('CHK');

interface World {
  readonly bench: Bench;
  readonly there: Hand;
  readonly state: (pair: PairId) => Promise<PairState>;
}
type Step = (world: World, choice: number) => Promise<void> | void;

const pick = <One>(from: readonly One[], choice: number): One | undefined => from[choice % from.length];
const pairFor = (choice: number): PairId => PAIRS[choice % 2] ?? PAIR;

const CODES = [
  PAIR,
  SECOND,
  PAIR,
  SECOND,
  `${PAIR}L`,
  `${PAIR}R`,
  RACK,
  BADGE_OF_INES,
  BADGE_OF_TOMASZ,
  BADGE_OF_RUTH,
  BADGE_OF_PIA,
  'https://example.org',
  'P7K4292M',
];

const TAPS: readonly ((acts: ReturnType<typeof tapsOf>, state: PairState, choice: number) => void)[] = [
  (acts) => acts.choose({ is: 'note' }),
  (acts) => acts.choose({ is: 'part' }),
  (acts) => acts.choose({ is: 'machine' }),
  (acts) => acts.choose({ is: 'second-hand' }),
  (acts) => acts.setAside('Still wet or setting'),
  (acts, _, choice) =>
    acts.sendBack({
      to: WLT,
      shoe: pick(['both', 'left', 'right'] as const, choice) ?? 'both',
      fault: null,
      reason: 'seam open',
      again: null,
    }),
  (acts, _, choice) =>
    acts.note({
      shoe: 'left',
      zone: null,
      side: null,
      defect: null,
      weight: pick(['mind', 'mend', 'ask', 'stop'] as const, choice) ?? 'mind',
      text: 'look here',
      seeAt: [],
      cureAt: [WLT],
    }),
  (acts, { notes }, choice) => {
    const held = pick(notes, choice);
    if (held !== undefined) acts.seen(held.note.id);
  },
  (acts, { notes }, choice) => {
    const held = pick(notes, choice);
    if (held !== undefined) acts.cured(held.note.id);
  },
  (acts) => acts.part('left'),
  (acts) => acts.machineStopped('Runs rough or makes a noise'),
  (acts) => acts.machineBack(WLT),
  (acts) => acts.late('The scan was forgotten'),
  (acts) => acts.letThrough('Looked at it'),
  (acts) => acts.release('Looked at it'),
  (acts) => acts.tick('probe'),
  (acts) => acts.tick('board'),
  (acts) => acts.pass('Looked at it'),
  (acts) => acts.undo(),
  (acts) => acts.finish(),
  (acts, _, choice) => acts.openPair(pairFor(choice)),
];

const told =
  (write: (there: Hand, pair: PairId, at: number) => LedgerRecord): Step =>
  ({ bench, there }, choice) =>
    bench.pull(write(there, pairFor(choice), bench.app.now()));

const STEPS: readonly Step[] = [
  ({ bench }, choice) => scan(bench, pick(CODES, choice) ?? PAIR),
  ({ bench }, choice) => scan(bench, pairFor(choice)),
  ({ bench }, choice) => pick(barOf(bench.app.view).buttons, choice)?.act(tapsOf(bench)),
  ({ bench }, choice) => pick(barOf(bench.app.view).buttons, choice)?.act(tapsOf(bench)),
  ({ bench }, choice) => {
    const button = pick(barOf(bench.app.view).buttons, choice);
    button?.act(tapsOf(bench));
    button?.act(tapsOf(bench));
  },
  async ({ bench, state }, choice) => {
    const { screen } = bench.app.view;
    const shown = await state(screen.is === 'card' ? screen.card.id : PAIR);
    pick(TAPS, choice)?.(tapsOf(bench), shown, Math.floor(choice / TAPS.length));
  },
  async ({ bench, state }, choice) => {
    const { screen } = bench.app.view;
    const shown = await state(screen.is === 'card' ? screen.card.id : PAIR);
    pick(TAPS, choice)?.(tapsOf(bench), shown, Math.floor(choice / TAPS.length));
  },
  ({ bench }, choice) => bench.pass(choice % 3 === 0 ? 1 : 0.1),
  ({ bench }, choice) => {
    bench.ledger.trouble = choice % 2 === 0 ? 'full' : null;
  },
  ({ bench }) => {
    bench.ledger.trouble = null;
  },
  told((there, pair, at) => there.write('noted', { pair, at, weight: 'stop', seeAt: [CHK] })),
  told((there, pair, at) => there.write('noted', { pair, at, weight: 'mind', seeAt: [WLT] })),
  told((there, pair, at) => there.write('set-aside', { pair, at })),
  told((there, pair, at) => there.write('parted', { pair, at })),
  told((there, pair, at) => there.write('racked', { pair, at })),
  told((there, _, at) => there.write('machine-stopped', { where: WELTING, stage: WLT, at })),
  told((there, _, at) => there.write('machine-back', { where: WELTING, stage: WLT, at })),
  ({ bench }) => bench.app.tick(),
];

/** Flags that a bench cannot keep from coming about: another bench works too. */
const NOT_OURS: ReadonlySet<FlagKind> = new Set(['open-at-two-benches', 'work-after-closing']);

async function holds({ bench, state }: World, before: ReadonlyMap<PairId, PairState>, from: number) {
  const { view } = bench.app;
  expect(view.screen.is).not.toBe('broken');
  const { line, buttons } = barOf(view);
  expect(line.says).not.toBe('');
  expect(buttons.length).toBeLessThanOrEqual(5);
  expect(new Set(buttons.map(({ label }) => label)).size).toBe(buttons.length);
  const made = (await bench.made()).filter(({ seq }) => seq > from);
  const open: string[] = [];
  for (const pair of PAIRS) {
    const now = await state(pair);
    expect(now.flags.filter(({ flag }) => !NOT_OURS.has(flag))).toEqual([]);
    const here = openSpells(now).filter((spell) => spell.bench === WELTING);
    open.push(...here.map(({ id }) => id));
    for (const [index, one] of here.entries())
      for (const other of here.slice(index + 1))
        expect(one.by === other.by && shareAShoe(one.shoe, other.shoe)).toBe(false);
    const stood = before.get(pair)?.notes.filter(stops) ?? [];
    const standing = now.notes
      .filter(stops)
      .some(({ note }) => stood.some((held) => held.note.id === note.id));
    if (!standing) continue;
    const work = made.filter(
      (record) =>
        'pair' in record &&
        record.pair === pair &&
        (record.kind === 'clocked-in' || (record.kind === 'clocked-out' && record.outcome === 'done')),
    );
    expect(work).toEqual([]);
  }
  expect(view.open.map(({ spell }) => spell).sort()).toEqual(open.sort());
}

test('a bench stands whatever is done at it', async () => {
  const move = fc.record({ step: fc.nat(STEPS.length - 1), choice: fc.nat(1000) });
  await fc.assert(
    fc.asyncProperty(fc.array(move, { minLength: 5, maxLength: 45 }), async (moves) => {
      const bench = await fullBench({ stages: [WLT, INT], told: { closingStage: INT } });
      const way = yesterday();
      await bench.pull(
        ...dueAt(WLT, bench.book, way),
        ...dueAt(WLT, bench.book, way, { pair: SECOND, last: '83' }),
      );
      const state = (pair: PairId) => stateOf(bench, pair);
      const world = { bench, there: handAt(LAYING, TOMASZ), state };
      for (const { step, choice } of moves) {
        const before = new Map(
          await Promise.all(PAIRS.map(async (pair) => [pair, await state(pair)] as const)),
        );
        const from = (await bench.made()).at(-1)?.seq ?? 0;
        await STEPS[step]?.(world, choice);
        await settled(bench);
        await holds(world, before, from);
      }
    }),
    { numRuns: 100 },
  );
}, 120_000);
