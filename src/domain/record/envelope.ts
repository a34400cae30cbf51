/** What every record carries, whatever it says. */
import * as z from 'zod';
import { cursorSchema } from '../cursor.ts';
import type { BenchId, OperativeId, PairId, RecordId, SiteId, StageCode } from '../ids.ts';
import { instantSchema } from '../instant.ts';

const ID = /^[0-9A-Za-z][0-9A-Za-z_-]{0,39}$/;

export const siteIdSchema = z
  .string()
  .regex(ID)
  .transform((text) => text as SiteId);
export const benchIdSchema = z
  .string()
  .regex(ID)
  .transform((text) => text as BenchId);
export const operativeIdSchema = z
  .string()
  .regex(ID)
  .transform((text) => text as OperativeId);
export const recordIdSchema = z
  .string()
  .regex(/^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/, 'is no UUIDv7')
  .transform((text) => text as RecordId);
export const pairIdSchema = z
  .string()
  .regex(/^[0-9A-Z][0-9A-Z/_-]{2,23}$/, 'is no ticket number')
  .transform((text) => text as PairId);
export const stageCodeSchema = z
  .string()
  .regex(/^[A-Z][A-Z0-9]{1,7}$/, 'is no stage code')
  .transform((text) => text as StageCode);

/**
 * A line that somebody typed: bounded, on one line, in any script. Half a surrogate pair would not come back from
 * a store in UTF-8 as it went in.
 */
export const lineSchema = (max: number) =>
  z
    .string()
    .min(1)
    .max(max)
    .regex(/^[^\p{Cc}\p{Cs}\p{Zl}\p{Zp}]*$/u, 'holds control characters');

export const envelopeSchema = z.object({
  id: recordIdSchema,
  site: siteIdSchema,
  bench: benchIdSchema,
  /** 1, 2, 3 … per bench, without a gap: a gap on the server shows that records are missing. */
  seq: z.int().min(1).max(Number.MAX_SAFE_INTEGER),
  /** When it happened: the tablet's clock, corrected by the estimated offset to the server's. */
  at: instantSchema,
  /** What the tablet's clock said, the offset that was added to it, and whether that offset had ever been measured. */
  wall: z.object({
    ms: z
      .int()
      .min(-(2 ** 53) + 1)
      .max(2 ** 53 - 1),
    offsetMs: z
      .int()
      .min(-(2 ** 53) + 1)
      .max(2 ** 53 - 1),
    known: z.boolean(),
  }),
  /** How much of the server's ledger this tablet had applied when it made the record. */
  seen: cursorSchema,
  /** Who did it; null where nobody was badged on. */
  by: operativeIdSchema.nullable(),
  /** Version of the kind. */
  v: z.int().min(1).max(999),
});

export type Envelope = z.infer<typeof envelopeSchema>;
