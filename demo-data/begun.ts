import type { Spell } from '../src/domain/fold/pair-state.ts';
import type { Instant } from '../src/domain/instant.ts';
import type { Draft } from '../src/domain/record/kinds.ts';

/** The spell that a scan in has just begun. `from` is its true time, whatever the tablet's clock said. */
export function begunBy({ id, stage, shoe, bench, by }: Draft<'clocked-in'>, from: Instant): Spell {
  return {
    id,
    stage,
    shoe,
    bench,
    by,
    from,
    to: null,
    timed: true,
    outcome: 'open',
    endedBy: null,
    undone: { left: null, right: null },
    joined: [],
  };
}
