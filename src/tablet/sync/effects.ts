/** What the sync loop is handed: it owns no time, no network and no chance, so that a test can say what each of them does. */
import type { OffsetSample } from '../../domain/clock-offset.ts';
import type { BenchId } from '../../domain/ids.ts';
import type { Instant } from '../../domain/instant.ts';
import type { TabletLedger } from '../ledger/ledger.ts';
import type { PartsServer, Server } from './server.ts';

export interface SyncEffects {
  readonly ledger: TabletLedger;
  readonly server: Server;
  /** Without it all of the server's history is read. */
  readonly parts?: PartsServer;
  readonly enrolment: { readonly bench: BenchId; readonly dataset: string };
  readonly clock: {
    /** The tablet's own clock. */
    now(): Instant;
    samples(): readonly OffsetSample[];
    learn(sample: OffsetSample): void;
  };
  /** Resolves after so many milliseconds, or when the signal is aborted. */
  readonly sleep: (ms: number, signal: AbortSignal) => Promise<void>;
  /** 0 to 1. */
  readonly random: () => number;
  /** How long to rest when all is settled: short while no live stream tells of news. */
  readonly restMs: () => number;
}
