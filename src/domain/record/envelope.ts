/** What every record carries, whatever it says. */
import * as z from 'zod/mini';
import { cursorSchema } from '../cursor.ts';
import type { BenchId, OperativeId, PairId, RecordId, SiteId, StageCode } from '../ids.ts';
import { instantSchema } from '../instant.ts';
import { idText, text, whole } from '../shapes.ts';

const ID = /^[0-9A-Za-z][0-9A-Za-z_-]{0,39}$/;

export const siteIdSchema = idText<SiteId>(ID, 'is no id');
export const benchIdSchema = idText<BenchId>(ID, 'is no id');
export const operativeIdSchema = idText<OperativeId>(ID, 'is no id');
export const recordIdSchema = idText<RecordId>(
  /^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/,
  'is no UUIDv7',
);
export const pairIdSchema = idText<PairId>(/^[0-9A-Z][0-9A-Z/_-]{2,23}$/, 'is no ticket number');
export const stageCodeSchema = idText<StageCode>(/^[A-Z][A-Z0-9]{1,7}$/, 'is no stage code');

/**
 * A line that somebody typed: bounded, on one line, in any script. Half a surrogate pair would not come back from
 * a store in UTF-8 as it went in.
 */
export const lineSchema = (max: number) =>
  text(1, max).check(z.regex(/^[^\p{Cc}\p{Cs}\p{Zl}\p{Zp}]*$/u, 'holds control characters'));

export const envelopeSchema = z.object({
  id: recordIdSchema,
  site: siteIdSchema,
  bench: benchIdSchema,
  /** 1, 2, 3 … per bench, without a gap: a gap on the server shows that records are missing. */
  seq: whole(1, 999_999_999),
  /** When it happened: the tablet's clock, corrected by the estimated offset to the server's. */
  at: instantSchema,
  /** What the tablet's clock said, the offset that was added to it, and whether that offset had ever been measured. */
  wall: z.object({
    ms: whole(Number.MIN_SAFE_INTEGER),
    offsetMs: whole(Number.MIN_SAFE_INTEGER),
    known: z.boolean(),
  }),
  /** How much of the server's ledger this tablet had applied when it made the record. */
  seen: cursorSchema,
  /** Who did it; null where nobody was badged on. */
  by: z.nullable(operativeIdSchema),
  /** Version of the kind. */
  v: whole(1, 999),
});

export type Envelope = z.infer<typeof envelopeSchema>;
