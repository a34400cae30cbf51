/** Says of one pushed record whether it can be held, and what the ledger keeps beside its text. Pure. */
import { hash } from 'node:crypto';
import type { RecordId, StageCode } from '../../domain/ids.ts';
import {
  type Envelope,
  pairIdSchema,
  recordIdSchema,
  stageCodeSchema,
} from '../../domain/record/envelope.ts';
import { type LedgerRecord, pairOf } from '../../domain/record/kinds.ts';
import { readRecord } from '../../domain/record/reading.ts';
import { RECORD_BYTES_MAX } from '../../wire/push.ts';
import { canonicalJson } from './canonical-json.ts';
import './reasons.ts';
import type { Writer } from './ledger.ts';

/** What can be held, ready for its row but for the position. */
export interface Fit {
  readonly is: 'fit';
  readonly envelope: Envelope & { readonly kind: string };
  readonly pair: string | null;
  readonly stage: StageCode | null;
  readonly json: string;
  /** SHA-256 of the canonical JSON: tells a repeat from another record under the same id. */
  readonly hash: string;
}

export type Judgement =
  | Fit
  | { readonly is: 'unfit'; readonly id: RecordId | null; readonly reasons: readonly string[] };

/**
 * Records of work at a bench, which no desk can do. That a stage was done and nobody scanned is for a supervisor to
 * say at a desk too, and so is that a machine may not be run.
 */
const BENCH_WORK: ReadonlySet<string> = new Set([
  'bench-set',
  'badged-on',
  'badged-off',
  'clocked-in',
  'clocked-out',
  'hand-joined',
  'reminders-shown',
  'found-here',
  'racked',
  'unracked',
  'last-taken',
  'checked',
  'boxed',
]);

/** What only a named person can decide. */
const BY_NAME: ReadonlySet<string> = new Set([
  'note-released',
  'let-through',
  'not-needed',
  'machine-back',
  'time-given',
  'looked-into',
]);

/** A UTF-16 code unit is three bytes of UTF-8 at most: nearly every record need not be counted. */
const CERTAINLY_FITS = RECORD_BYTES_MAX / 3;

export function judge(raw: unknown, { site, bench, place }: Writer): Judgement {
  const read = readRecord(raw);
  if (read.is === 'bad') return unfit(read.id, read.reasons);
  const { record: envelope } = read.is === 'record' ? read : { record: read.envelope };
  const { id, kind } = envelope;
  const foreign = [
    ...(envelope.site === site ? [] : ['site: is not the site of this key']),
    ...(envelope.bench === bench ? [] : ['bench: is not the bench of this key']),
    ...(envelope.by === null && BY_NAME.has(kind) ? ['by: is nobody, and this is for a named person'] : []),
    ...(place === 'reader' ? ['place: a reader writes nothing'] : []),
    ...(place === 'desk' && BENCH_WORK.has(kind) ? ['kind: is work at a bench, and this is a desk'] : []),
  ];
  if (foreign.length > 0) return unfit(id, foreign);

  try {
    const canonical = canonicalJson(raw);
    if (canonical.length > CERTAINLY_FITS && Buffer.byteLength(canonical) > RECORD_BYTES_MAX) {
      return unfit(id, [`record: has more than ${RECORD_BYTES_MAX} bytes`]);
    }
    return {
      is: 'fit',
      envelope,
      // What was read as a known kind has been looked at once.
      pair: read.is === 'record' ? pairOf(read.record) : fieldOf(raw, 'pair', pairIdSchema),
      stage: read.is === 'record' ? stageOf(read.record) : fieldOf(raw, 'stage', stageCodeSchema),
      json: JSON.stringify(raw),
      hash: hash('sha256', canonical, 'hex'),
    };
  } catch (cause) {
    if (cause instanceof RangeError) return unfit(id, [`record: ${cause.message}`]);
    throw cause;
  }
}

function stageOf(record: LedgerRecord): StageCode | null {
  return 'stage' in record ? record.stage : null;
}

/** A field that the ledger can be asked by, or null: a newer kind may use the same word otherwise. */
function fieldOf<Value>(
  raw: unknown,
  key: 'pair' | 'stage',
  schema: { safeParse(value: unknown): { success: boolean; data?: Value } },
): Value | null {
  const value = (raw as Record<string, unknown>)[key];
  return typeof value === 'string' ? (schema.safeParse(value).data ?? null) : null;
}

function unfit(id: string | null, reasons: readonly string[]): Judgement {
  const readable = recordIdSchema.safeParse(id);
  return { is: 'unfit', id: readable.success ? readable.data : null, reasons };
}
