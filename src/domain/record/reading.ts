/**
 * Reading a record from outside. A record of an unknown kind or a newer version is not wrong: it was made by a
 * newer tablet. It is kept as it came and folded by those who know it.
 */
import * as z from 'zod/mini';
import { type Envelope, envelopeSchema } from './envelope.ts';
import { CURRENT_VERSION, type LedgerRecord, recordSchema } from './kinds.ts';

export const KNOWN_KINDS: ReadonlySet<string> = new Set(
  recordSchema.def.options.flatMap(({ shape }) => shape.kind.def.values),
);

/** Made once: to make a schema takes a hundred times as long as to read a record with it. */
const looseEnvelopeSchema = z.looseObject(envelopeSchema.shape);

/** Fields of a newer tablet stay in `raw` untouched. */
export type ReadResult =
  | { readonly is: 'record'; readonly record: LedgerRecord }
  | { readonly is: 'newer'; readonly envelope: Envelope & { readonly kind: string } }
  | { readonly is: 'bad'; readonly id: string | null; readonly reasons: readonly string[] };

/** Reads one record: known, newer than we are, or bad with the reasons in plain words. */
export function readRecord(raw: unknown): ReadResult {
  const { kind, v } = kindAndVersion(raw);
  // What we know is read in one go; the envelope alone is read only of what we do not.
  if (typeof kind === 'string' && KNOWN_KINDS.has(kind) && (typeof v !== 'number' || v <= CURRENT_VERSION)) {
    const record = recordSchema.safeParse(raw);
    if (record.success) return { is: 'record', record: record.data };
    return { is: 'bad', id: idOf(raw), reasons: reasonsOf(record.error.issues) };
  }
  const envelope = looseEnvelopeSchema.safeParse(raw);
  if (!envelope.success) return { is: 'bad', id: idOf(raw), reasons: reasonsOf(envelope.error.issues) };
  if (typeof kind !== 'string' || !KIND_NAME.test(kind)) {
    return { is: 'bad', id: envelope.data.id, reasons: ['kind: is no name of a kind'] };
  }
  return { is: 'newer', envelope: { ...envelope.data, kind } };
}

/** What a kind may be called, by us or by whoever comes after us; it goes into an index, so plain letters only. */
const KIND_NAME = /^\w[\w.-]{0,39}$/;

function kindAndVersion(raw: unknown): { readonly kind: unknown; readonly v: unknown } {
  if (typeof raw !== 'object' || raw === null) return { kind: undefined, v: undefined };
  return { kind: 'kind' in raw ? raw.kind : undefined, v: 'v' in raw ? raw.v : undefined };
}

function reasonsOf(
  issues: readonly { readonly path: PropertyKey[]; readonly message: string }[],
): readonly string[] {
  return issues
    .slice(0, 8)
    .map(({ path, message }) => `${path.map(String).join('.') || 'record'}: ${message}`);
}

function idOf(raw: unknown): string | null {
  if (typeof raw !== 'object' || raw === null || !('id' in raw)) return null;
  return typeof raw.id === 'string' ? raw.id.slice(0, 64) : null;
}
