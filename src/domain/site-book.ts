/**
 * The site's own book: its stages, its people, its shifts. Names and badges live here and can be changed or
 * erased; the ledger only holds opaque ids.
 */
import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js';
import * as z from 'zod/mini';
import type { OperativeId } from './ids.ts';
import { type Instant, instantSchema } from './instant.ts';
import {
  benchIdSchema,
  lineSchema,
  operativeIdSchema,
  siteIdSchema,
  stageCodeSchema,
} from './record/envelope.ts';
import { listOf, whole, written } from './shapes.ts';
import { ticketPatternSchema } from './ticket-pattern.ts';

/** Hands work pairs; supervisors also let things through; the office logs and answers. */
export const ROLES = ['hand', 'supervisor', 'office'] as const;
export type Role = (typeof ROLES)[number];

export const siteBookSchema = z.object({
  site: siteIdSchema,
  name: lineSchema(80),
  /** An IANA name. */
  timeZone: lineSchema(60),
  /** Grows with every change, so that a tablet knows when to fetch the book again. */
  version: whole(1),
  ticketPattern: z.nullable(ticketPatternSchema),
  /** Whom an operative asks, in the site's words: «Ines Okafor, supervisor». */
  ask: lineSchema(80),
  /** Finishing this stage closes the pair. */
  closingStage: stageCodeSchema,
  /** In the order of the route. */
  stages: listOf(z.object({ code: stageCodeSchema, name: lineSchema(40), plain: lineSchema(60) }), 64),
  operatives: listOf(z.object({ id: operativeIdSchema, name: lineSchema(60), role: z.enum(ROLES) }), 2000),
  /** A badge is known by its hash alone. */
  badges: listOf(
    z.object({ hash: written(/^[0-9a-f]{64}$/, 'has another form'), operative: operativeIdSchema }),
    4000,
  ),
  benches: listOf(
    z.object({ bench: benchIdSchema, name: lineSchema(60), stages: listOf(stageCodeSchema, 12) }),
    1000,
  ),
  /** The shifts of the coming weeks as instants, so that a tablet needs no calendar of its own. */
  shifts: listOf(z.object({ name: lineSchema(40), from: instantSchema, to: instantSchema }), 400),
});

export type SiteBook = z.infer<typeof siteBookSchema>;
export type Stage = SiteBook['stages'][number];
export type Shift = SiteBook['shifts'][number];

/** SHA-256 of a badge's or set-up code's text, in hexadecimal: what is stored instead of the code. */
export function codeHash(token: string): string {
  return bytesToHex(sha256(utf8ToBytes(token)));
}

/** The holder of a badge, or null where the site does not know it or has withdrawn it. */
export function holderOf(book: SiteBook, token: string): OperativeId | null {
  const hash = codeHash(token);
  return book.badges.find((badge) => badge.hash === hash)?.operative ?? null;
}

export function nameOf(book: SiteBook, operative: OperativeId | null): string | null {
  return book.operatives.find(({ id }) => id === operative)?.name ?? null;
}

/** The shift that `now` falls in, or null between shifts. */
export function shiftAt(book: SiteBook, now: Instant): Shift | null {
  return book.shifts.find(({ from, to }) => from <= now && now < to) ?? null;
}
