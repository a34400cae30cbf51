/** A record in plain fields, its hands under the names that they are to have outside. */

import { said } from '../../domain/export/record-table.ts';
import { inUtc } from '../../domain/export/times.ts';
import type { ExportView } from '../../domain/export/view.ts';
import { asOperativeId } from '../../domain/ids.ts';
import { type Envelope, envelopeSchema } from '../../domain/record/envelope.ts';
import type { LedgerRecord } from '../../domain/record/kinds.ts';
import { readRecord } from '../../domain/record/reading.ts';
import type { ReadRecord } from '../../wire/read.ts';
import type { Held } from '../ledger/ledger.ts';

/** What every record has; of a kind that is newer than this server nothing else is sure. */
type AnyRecord = Envelope & { readonly kind: string };

/** The record that is held, whatever its kind. @throws Error where it is none: the ledger takes in no such thing */
export function heldRecord({ pos, json }: Held): { readonly record: AnyRecord; readonly known: boolean } {
  const read = readRecord(JSON.parse(json));
  switch (read.is) {
    case 'record':
      return { record: read.record, known: true };
    case 'newer':
      return { record: read.envelope, known: false };
    case 'bad':
      throw new Error(`record ${read.id} at ${pos} cannot be read: ${read.reasons.join('; ')}`);
  }
}

export function plainHeld(held: Held, view: ExportView): ReadRecord {
  const { record, known } = heldRecord(held);
  return plainRecord(record, held.pos, known, view);
}

export function plainRecord(
  record: AnyRecord | LedgerRecord,
  position: number,
  known: boolean,
  view: ExportView,
): ReadRecord {
  const { id, kind, bench, by, at, wall, seq } = record;
  return {
    id,
    position,
    kind,
    pair: said(record, 'pair'),
    stage: said(record, 'stage'),
    bench,
    benchName: view.benchName(bench),
    hand: by === null ? null : view.handCalled(by),
    at: inUtc(at),
    atSite: view.siteTime(at),
    clockKnown: wall.known,
    number: seq,
    said: known ? ownFields(record, view) : null,
  };
}

const COMMON: ReadonlySet<string> = new Set([...Object.keys(envelopeSchema.shape), 'kind', 'pair']);

/** The one field besides `by` in which kinds name a hand. */
const HAND = 'hand';

function ownFields(record: object, { handCalled }: ExportView): Record<string, unknown> {
  const fields = Object.entries(record).filter(([name]) => !COMMON.has(name));
  return Object.fromEntries(
    fields.map(([name, value]: [string, unknown]) =>
      name === HAND && typeof value === 'string' ? [name, handCalled(asOperativeId(value))] : [name, value],
    ),
  );
}
