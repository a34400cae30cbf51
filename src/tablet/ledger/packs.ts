/**
 * A pair that came whole from the server is kept as one row, its records as one text: a new tablet is given five thousand
 * of them, and to write each record under its own indexes takes ten times as long.
 *
 * - No record of this tablet's own bench is packed: numbers, outbox and what this bench did are told by rows.
 * - What is packed is looked at when it is read, not before: what no version can read harms nobody.
 * - An app of before packs knows nothing of them. So the cursor that they lead to stands under a name of its own: put
 *   back, that app finds a tablet that has read nothing in, and reads in anew before it clocks a pair in.
 */
import type { Placed } from '../../domain/fold/order.ts';
import type { Pulled } from './ledger.ts';
import { placedOf, type RecordRow } from './record-row.ts';

export interface PackRow {
  readonly pair: string;
  /** One for each epoch in which records of it have their places; more than one only after a restore. */
  readonly parts: readonly PackPart[];
  /** The latest `at` among the records, null where one of them has none. */
  readonly newest: number | null;
  /** As `thingOf` names them, each once. */
  readonly things: readonly string[];
}

export interface PackPart {
  readonly epoch: string;
  /** JSON of `Pulled[]`. */
  readonly text: string;
}

/** All that is held of a pair, by its rows and its pack. A record that is in both is as its row says. */
export function allHeld(rows: readonly RecordRow[], packs: readonly PackRow[]): readonly Placed[] {
  const placed = rows.flatMap(placedOf);
  if (packs.length === 0) return placed;
  const held = new Set<string>(placed.map(({ record }) => record.id));
  for (const one of packs.flatMap(inPack)) {
    if (held.has(one.record.id)) continue;
    held.add(one.record.id);
    placed.push(one);
  }
  return placed;
}

function inPack({ parts }: PackRow): readonly Placed[] {
  return parts.flatMap(({ epoch, text }) =>
    (JSON.parse(text) as readonly Pulled[]).flatMap(({ pos, record }) =>
      placedOf({ raw: record, pos, epoch }),
    ),
  );
}
