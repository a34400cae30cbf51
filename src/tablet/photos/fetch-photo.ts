/** A photograph of which only the hash is known: from this tablet where it is here, otherwise from the server. */
import type { Instant } from '../../domain/instant.ts';
import { LedgerFailure } from '../ledger/ledger.ts';
import type { GetOutcome, PhotoServer } from './photo-server.ts';
import type { PhotoStore } from './photo-store.ts';

export interface FetchEffects {
  /** Null where nothing is kept, as at a desk. */
  readonly photos: Pick<PhotoStore, 'get' | 'keepFetched'> | null;
  readonly server: Pick<PhotoServer, 'get'>;
  /** The corrected clock. */
  readonly now: () => Instant;
}

/** @returns never rejects: a store that fails is as good as one that holds nothing */
export async function fetchPhoto(
  { photos, server, now }: FetchEffects,
  photo: string,
  signal: AbortSignal,
): Promise<GetOutcome> {
  const kept = await orNull(photos?.get(photo));
  if (kept) return { is: 'photo', photo: { photo, type: kept.type, blob: kept.blob } };
  const outcome = await server.get(photo, signal);
  if (outcome.is === 'photo') await orNull(photos?.keepFetched(outcome.photo, now()));
  return outcome;
}

async function orNull<Value>(asked: Promise<Value> | undefined): Promise<Value | null> {
  try {
    return (await asked) ?? null;
  } catch (cause) {
    if (!(cause instanceof LedgerFailure)) throw cause;
    return null;
  }
}
