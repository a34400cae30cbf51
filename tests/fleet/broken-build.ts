/** What a deliberately broken build may put in the place of a part; `broken-builds.ts` lists them. */
import type { foldPair } from '../../src/domain/fold/pair.ts';
import type { RecordId } from '../../src/domain/ids.ts';
import type { ServerLedger } from '../../src/server/ledger/ledger.ts';
import type { TabletLedger } from '../../src/tablet/ledger/ledger.ts';
import type { Server } from '../../src/tablet/sync/server.ts';
import type { MemoryStore } from '../support/memory-ledger.ts';
import type { Scheduler } from './scheduler.ts';

export interface Around {
  readonly scheduler: Scheduler;
  /** Whether the process is still running. */
  readonly alive: () => boolean;
}
export interface AroundTablet extends Around {
  readonly store: MemoryStore;
  readonly newId: () => RecordId;
}

type Sleep = (ms: number, signal: AbortSignal) => Promise<void>;

export interface BrokenBuild {
  /** What is wrong with it, in a line. */
  readonly name: string;
  /** The store itself: what it does here is what is on the disk. */
  readonly store?: (ledger: TabletLedger, around: AroundTablet) => TabletLedger;
  /** Between the app and the store: here calls fail and are tried again. */
  readonly ledger?: (ledger: TabletLedger, around: AroundTablet) => TabletLedger;
  /** The server as the tablet's loop knows it. */
  readonly server?: (server: Server, ledger: TabletLedger, around: AroundTablet) => Server;
  readonly sleep?: (sleep: Sleep, restMs: number) => Sleep;
  /** When the tablet is killed, what had not reached the disk is gone. */
  readonly lostWithPower?: (store: MemoryStore, now: number) => void;
  readonly fold?: typeof foldPair;
  readonly serverLedger?: (ledger: ServerLedger, around: Around) => ServerLedger;
  readonly restoresWithoutNewEpoch?: boolean;
}

/** The build as it is. */
export const SOUND: BrokenBuild = { name: 'sound' };
