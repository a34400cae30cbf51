/** What the page shows before anything is known. */
import type { Instant } from '../../domain/instant.ts';
import type { View } from './screen.ts';

export function firstView(now: Instant): View {
  return {
    screen: { is: 'starting' },
    hint: null,
    unrecorded: null,
    book: null,
    readIn: false,
    benchName: '',
    stages: [],
    outOfUse: new Map(),
    on: null,
    open: [],
    doneThisShift: 0,
    doneLast: [],
    finding: false,
    outbox: { waiting: 0, oldestAt: null, refused: 0 },
    link: { is: 'not-tried', why: null, lastAt: null },
    storage: 'cannot-say',
    clock: { offsetMs: 0, known: false },
    updateReady: false,
    keypadOpen: false,
    now,
  };
}
