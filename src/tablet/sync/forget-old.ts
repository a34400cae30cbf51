/**
 * A tablet holds the pairs in the works and those that left lately, not all history. Once a day it forgets those that
 * left long ago, a few at a time. Its own records are kept as long, so that they can be offered again to a server that
 * was restored from a backup; nothing that waits is ever forgotten. A pair that is touched again is fetched whole.
 */
import { foldPair } from '../../domain/fold/pair.ts';
import { DAY_MS, HOUR_MS, type Instant, MINUTE_MS } from '../../domain/instant.ts';
import { LedgerFailure, type PairRecords, type TabletLedger } from '../ledger/ledger.ts';

export const KEPT_DAYS = 30;
/** After the start of the app, when the morning's first scans are done. */
const FIRST_AFTER_MS = 10 * MINUTE_MS;
const LOOK_EVERY_MS = HOUR_MS;
/** Between two slices the bench has the tablet to itself. */
const BREATH_MS = 50;

export interface ForgetEffects {
  readonly ledger: TabletLedger;
  /** The corrected clock. */
  readonly now: () => Instant;
  readonly sleep: (ms: number, signal: AbortSignal) => Promise<void>;
}

/** Runs until `signal` is aborted. */
export async function forgetDaily(effects: ForgetEffects, signal: AbortSignal): Promise<void> {
  const { ledger, now, sleep } = effects;
  await sleep(FIRST_AFTER_MS, signal);
  while (!signal.aborted) {
    try {
      const { forgotAt } = await ledger.settings();
      // A clock that was put back must not keep it from happening for years.
      if (forgotAt === null || Math.abs(now() - forgotAt) >= DAY_MS) await forgetOld(effects, signal);
    } catch (cause) {
      // The store is in trouble, and the bench says so; this can wait.
      if (!(cause instanceof LedgerFailure)) throw cause;
    }
    await sleep(LOOK_EVERY_MS, signal);
  }
}

/** @returns how many pairs are forgotten; none before the tablet has read in what the server holds */
export async function forgetOld({ ledger, now, sleep }: ForgetEffects, signal: AbortSignal): Promise<number> {
  const { epoch, readIn } = await ledger.settings();
  if (epoch === null || !readIn) return 0;
  const before = now() - KEPT_DAYS * DAY_MS;
  let forgotten = 0;
  for await (const slice of ledger.everyPair()) {
    if (signal.aborted) return forgotten;
    const old = slice.filter((one) => hasLeft(one, before)).map(({ pair }) => pair);
    if (old.length > 0) forgotten += (await ledger.forget(old, epoch, before)).length;
    await sleep(BREATH_MS, signal);
  }
  await ledger.remember({ forgotAt: now() });
  return forgotten;
}

/** Left the works before then, by all that is known of it. */
function hasLeft({ pair, placed }: PairRecords, before: Instant): boolean {
  // Folding takes longer than looking at the times, and most pairs are young.
  if (placed.length === 0 || placed.some(({ record }) => record.at >= before)) return false;
  const { closedAt, spells } = foldPair(pair, placed);
  return closedAt !== null && closedAt < before && spells.every(({ outcome }) => outcome !== 'open');
}
