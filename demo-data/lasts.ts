/** The pairs of lasts: one of each number, size and fitting, so a pair may have to wait for another to come off it. */
import type { StageCode } from '../src/domain/ids.ts';
import type { Instant } from '../src/domain/instant.ts';
import { lastOf } from '../src/domain/way.ts';
import type { PairOnLine } from './pairs.ts';
import { WAYS } from './workshop.ts';

export class Lasts {
  readonly #holders = new Map<string, { readonly pair: PairOnLine; freedAt: Instant | null }>();

  isFree(pair: PairOnLine, stage: StageCode, now: Instant): boolean {
    if (stage !== WAYS.lastFrom) return true;
    const holder = this.#holders.get(lastOf(pair));
    if (holder === undefined || holder.pair === pair) return true;
    return holder.freedAt !== null && holder.freedAt <= now;
  }

  take(pair: PairOnLine): void {
    pair.hasLast = true;
    this.#holders.set(lastOf(pair), { pair, freedAt: null });
  }

  free(pair: PairOnLine, at: Instant): void {
    pair.hasLast = false;
    const holder = this.#holders.get(lastOf(pair));
    if (holder?.pair === pair) holder.freedAt = at;
  }
}
