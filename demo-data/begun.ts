import type { Spell } from '../src/domain/fold/pair.ts';
import type { Instant } from '../src/domain/instant.ts';
import type { Draft } from '../src/domain/record/kinds.ts';

/** The spell that a scan in has just begun. `from` is its true time, whatever the tablet's clock said. */
export function begunBy({ id, stage, bench, by }: Draft<'clocked-in'>, from: Instant): Spell {
  return { id, stage, bench, by, from, to: null, outcome: 'open', endedBy: null, undoneBy: null };
}
