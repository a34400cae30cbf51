/** Builds that break what a tablet keeps, and how it reads it. */
import { foldPair } from '../../src/domain/fold/pair.ts';
import { asBenchId, type OperativeId } from '../../src/domain/ids.ts';
import type { Draft } from '../../src/domain/record/kinds.ts';
import type { BrokenBuild } from './broken-build.ts';
import { over } from './over.ts';

/** So long the records of a page may be on their way to the disk. */
const SLOW_MS = 5_000;
/** So long a careless store may keep a record in memory before it is on the disk. */
const CARELESS_MS = 60_000;

export const IN_THE_STORE: readonly BrokenBuild[] = [
  {
    name: 'the cursor is written before the records',
    store: (ledger, { scheduler, store, alive }) =>
      over(ledger, {
        apply: async (pulled, cursor) => {
          store.settings = { ...store.settings, cursor };
          await scheduler.sleep(SLOW_MS);
          return alive() ? ledger.apply(pulled, cursor) : [];
        },
      }),
  },
  {
    name: 'a record is shown as made before it is on the disk',
    lostWithPower: (store, now) => {
      for (const [id, { raw, pos }] of store.records) {
        const { wall } = raw as { readonly wall: { readonly ms: number; readonly offsetMs: number } };
        if (pos !== null || now - wall.ms - wall.offsetMs > CARELESS_MS) continue;
        store.records.delete(id);
        store.outbox.delete(id);
      }
    },
  },
  {
    name: 'record and outbox entry are not one transaction',
    store: (ledger, { store }) =>
      over(ledger, {
        commit: async (drafts) => {
          const made = await ledger.commit(drafts);
          // Of an act of several records the first entry is written later, and later never comes.
          const [first, second] = made;
          if (first !== undefined && second !== undefined) store.outbox.delete(first.id);
          return made;
        },
      }),
  },
  {
    name: 'the outbox is cleared when somebody badges off',
    store: (ledger, { store }) =>
      over(ledger, {
        commit: (drafts) => {
          if (drafts.some(({ kind }) => kind === 'badged-off')) store.outbox.clear();
          return ledger.commit(drafts);
        },
      }),
  },
  {
    name: 'an act tried again is another act',
    ledger: (ledger, { newId }) => {
      const tried = new Set<string>();
      return over(ledger, {
        commit: (drafts) => {
          const again = drafts.some(({ id }) => tried.has(id));
          for (const { id } of drafts) tried.add(id);
          return ledger.commit(again ? drafts.map((draft): Draft => ({ ...draft, id: newId() })) : drafts);
        },
      });
    },
  },
  {
    name: 'a hand-over is noticed one act late',
    ledger: (ledger) => {
      let before: OperativeId | null = null;
      let late = false;
      return over(ledger, {
        commit: (drafts) => {
          const handOver = drafts.length === 2 && drafts[0]?.kind === 'badged-off';
          const by = late ? before : null;
          late = handOver;
          if (handOver) before = drafts[0]?.by ?? null;
          return ledger.commit(
            by === null || handOver ? drafts : drafts.map((draft): Draft => ({ ...draft, by })),
          );
        },
      });
    },
  },
  {
    name: 'numbers are used again after a tablet was set back',
    store: (ledger, { store }) => {
      // Kept with the store, so that it is set back with it.
      const madeHere = (bench: string) => `made here ${bench}`;
      return over(ledger, {
        serverHolds: async (bench, epoch, heldSeq) => {
          const used = store.used.get(bench) ?? 0;
          const again = await ledger.serverHolds(bench, epoch, heldSeq);
          store.used.set(bench, used);
          return again;
        },
        commit: async (drafts) => {
          for (const { bench } of drafts) store.highest.set(bench, store.used.get(madeHere(bench)) ?? 0);
          const made = await ledger.commit(drafts);
          for (const { bench, seq } of made)
            store.used.set(madeHere(bench), Math.max(seq, store.used.get(madeHere(bench)) ?? 0));
          return made;
        },
      });
    },
  },
  {
    name: 'what a restored server has forgotten is not offered again',
    store: (ledger) => over(ledger, { serverHolds: async () => 0 }),
  },
  {
    name: 'pairs are folded in the order in which records came',
    fold: (pair, placed) =>
      foldPair(
        pair,
        placed.map(({ record, pos, epoch }, index) => ({
          pos,
          epoch,
          record: { ...record, at: index, bench: asBenchId(`bench-${index}`) },
        })),
      ),
  },
];
