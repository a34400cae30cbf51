import type { Held } from './ledger/ledger.ts';

/**
 * An answer that holds records, as JSON. They go out in the very text that is held, unread: a thousand of them are not
 * parsed to be written again.
 */
export function withRecords(rest: object, held: readonly Held[]): string {
  const records = held.map(({ pos, json }) => `{"pos":${pos},"record":${json}}`).join(',');
  return `${JSON.stringify(rest).slice(0, -1)},"records":[${records}]}`;
}
