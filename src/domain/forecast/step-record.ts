/**
 * What a run keeps of each step: one record of whole numbers, all records in one table, so that whatever an event asks of
 * a step lies in one or two lines of the processor's cache. A step is known by where its record begins.
 */
export const WIDTH_BITS = 5;

export const FIELDS = {
  /** The step's stage now, which is another while it is sent back, and how it stands. */
  STAGE: 0,
  IS: 1,
  NEEDS: 2,
  ABSENT: 3,
  ROW: 4,
  PAIR: 5,
  /** Not before this may it be begun: what is before it has settled. */
  SETTLED_AT: 6,
  QUEUED_AT: 7,
  KEY: 8,
  HAND: 9,
  BENCH: 10,
  /** Ticks of work left where a shift's end broke it off. */
  REST: 11,
  /** What was drawn for it: its work; whether it is set aside, and sent back. */
  SERVICE_BITS: 12,
  LUCK_BITS: 13,
  /** How often it was sent back, and the row of what is done again now; -1 where nothing is. */
  RETURNS: 14,
  CHAIN: 15,
  CHAIN_END: 16,
  /** The step that it waited for longest; -1 where it waited for none. */
  AFTER: 17,
  /** When the last step before it was done; when it lay ready, was begun and done. */
  DUE_AT: 18,
  READY_AT: 19,
  BEGUN_AT: 20,
  DONE_AT: 21,
} as const;
