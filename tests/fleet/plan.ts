/** What a run is made of, as plain data: a story that fails is made shorter by leaving parts of its plan out. */
import type { LedgerTrouble } from '../../src/tablet/ledger/ledger.ts';

/** `device` 1 is the tablet that was made from a copy of device 0, where there is one. */
export interface Deed {
  /** Milliseconds from the beginning. */
  readonly at: number;
  readonly bench: number;
  readonly device: 0 | 1;
  readonly hand: number;
  readonly pair: number;
  readonly does: 'scan' | 'scan-twice' | 'scan-and-pass-on' | Tap | 'badge' | 'wait-an-hour';
}

export const TAPS = ['not-finished', 'set-aside', 'undo', 'note', 'send-back', 'finish'] as const;
export type Tap = (typeof TAPS)[number];

export const WEATHERS = [
  'off-line',
  'requests-lost',
  'answers-lost',
  'doubled',
  'delayed',
  'sign-in-page',
  'bad-gateway',
  'busy',
  'too-large',
] as const;
export type Weather = (typeof WEATHERS)[number];

export type Mishap = { readonly at: number } & (
  | {
      readonly is: 'road';
      readonly until: number;
      readonly bench: number;
      readonly weather: Weather;
      readonly share: number;
    }
  /** At its nth call from now on, of the store, the network or a rest. */
  | {
      readonly is: 'tablet-killed';
      readonly bench: number;
      readonly calls: number;
      readonly when: 'before' | 'after';
    }
  | {
      readonly is: 'store-fails';
      readonly until: number;
      readonly bench: number;
      readonly trouble: LedgerTrouble;
      readonly share: number;
    }
  | { readonly is: 'tablet-set-back'; readonly bench: number; readonly copyAt: number }
  | { readonly is: 'tablet-doubled'; readonly bench: number }
  | { readonly is: 'clock'; readonly bench: number; readonly stepMs: number; readonly driftPpm: number }
  /** At its nth statement from now on. */
  | { readonly is: 'server-killed'; readonly process: number; readonly statements: number }
  | { readonly is: 'server-restored'; readonly backupAt: number }
  | { readonly is: 'revoked'; readonly bench: number }
  | { readonly is: 'bad-record'; readonly bench: number }
  /** From now on the bench runs another build: its records have a field or are of a kind that nobody here knows. */
  | {
      readonly is: 'other-build';
      readonly bench: number;
      readonly writes: 'newer-field' | 'newer-kind' | 'older-fields';
    }
);

export interface Plan {
  readonly seed: number;
  readonly benches: number;
  readonly processes: number;
  readonly pairs: number;
  /** When all mishaps are over, in milliseconds from the beginning. */
  readonly healAt: number;
  /** How long a tablet rests when all is settled. */
  readonly restMs: number;
  /** The longest time that a call of the store, or of the server's ledger, takes; 0 for none that could be told. */
  readonly storeMs: number;
  readonly serverStoreMs: number;
  /** Whether tablets ask for packed answers, as browsers do. */
  readonly packed: boolean;
  /** Whether tablets hear of news by a live stream. */
  readonly live: boolean;
  /** Records that bench 0 makes while it is off line for weeks. */
  readonly backlog: number;
  readonly deeds: readonly Deed[];
  readonly mishaps: readonly Mishap[];
}
