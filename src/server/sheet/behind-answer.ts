/** What a number of the sheet counts, down to its records as the ledger holds them. */

import { type FigureName, membersOf } from '../../domain/figures/members-of.ts';
import type { ShiftSheet } from '../../domain/figures/sheet.ts';
import type { BehindAnswer } from '../../wire/sheet.ts';
import type { ServerLedger } from '../ledger/ledger.ts';
import type { Asked } from './asked.ts';

/** More than these nobody reads on a page; the export has them all. */
const MEMBERS_MAX = 200;

/** Null where the sheet has no such stage, hand or pair. */
export async function behindAnswer(
  ledger: ServerLedger,
  { standing, book }: Asked,
  sheet: ShiftSheet,
  asked: { readonly figure: FigureName; readonly of: string },
): Promise<BehindAnswer | null> {
  const members = membersOf(sheet, asked.figure, asked.of);
  if (members === null) return null;
  const shown = members.slice(0, MEMBERS_MAX);
  const pairs = [...new Set(shown.map(({ pair }) => pair))];
  const held = await ledger.recordsOfPairs(book.site, pairs, standing.head);
  const records = new Map<unknown, unknown>();
  for (const { json } of [...held.values()].flat()) {
    const record: unknown = JSON.parse(json);
    if (typeof record === 'object' && record !== null && 'id' in record) records.set(record.id, record);
  }
  return {
    members: shown.map(({ pair, share, ms, records: behind }) => ({
      pair,
      share,
      ms,
      records: behind.flatMap((id) => (records.has(id) ? [records.get(id)] : [])),
    })),
    more: members.length - shown.length,
  };
}
