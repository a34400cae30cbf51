import type { Timers } from './pace.ts';

/** This window's own. */
export const timers: Timers = {
  // Not `performance.now`, which may stand still while the machine sleeps, and ages must not.
  now: () => Date.now(),
  later: (run, ms) => {
    const timer = setTimeout(run, ms);
    return () => clearTimeout(timer);
  },
};
