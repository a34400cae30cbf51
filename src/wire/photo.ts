/**
 * PUT and GET /api/photo/SHA256: the bytes of a photograph. They travel apart from the ledger, whose record
 * `pictured` names them by their SHA-256; so they can go before their record or after it, twice, or by another
 * tablet, and what comes back can be checked by whoever asked for it.
 */
import * as z from 'zod/mini';
import { PHOTO_TYPES } from '../domain/record/office-kinds.ts';
import { written } from '../domain/shapes.ts';
import { ledgerStateSchema } from './ledger-state.ts';

export { PHOTO_TYPES };
export type PhotoType = (typeof PHOTO_TYPES)[number];

/** A tablet sends at most 400 kB; what is longer is not from one of ours. */
export const PHOTO_BYTES_MAX = 512 * 1024;

/** SHA-256 of a photograph's bytes, 64 hexadecimal digits in lower case. */
export const photoHashSchema = written(/^[0-9a-f]{64}$/, 'is no SHA-256');
export const photoTypeSchema = z.enum(PHOTO_TYPES);

/** `had`: the server holds these bytes already. Both `stored` (201) and `had` (200) are confirmations. */
export const photoAnswerSchema = z.object({
  state: ledgerStateSchema,
  photo: photoHashSchema,
  answer: z.enum(['stored', 'had']),
});
export type PhotoAnswer = z.infer<typeof photoAnswerSchema>;

/** Where the bytes of a photograph are. */
export const photoPath = (photo: string) => `/api/photo/${photo}`;

/** How many bytes tell what kind of picture a file is. */
export const HEAD_BYTES = 16;

/**
 * What a file is by its first bytes, whatever it is called: JPEG (SOI and the next marker, ISO/IEC 10918-1), PNG
 * (its signature, ISO/IEC 15948) or WebP (RFC 9649); null for anything else.
 * @param head at least its first `HEAD_BYTES` bytes, or all of a shorter file
 */
export function photoTypeOf(head: Uint8Array): PhotoType | null {
  if (hasAt(head, 0, [0xff, 0xd8, 0xff])) return 'image/jpeg';
  if (hasAt(head, 0, [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a])) return 'image/png';
  if (hasAt(head, 0, ascii('RIFF')) && hasAt(head, 8, ascii('WEBP'))) return 'image/webp';
  return null;
}

/** Whether these bytes stand at `from`. */
export function hasAt(head: Uint8Array, from: number, bytes: readonly number[]): boolean {
  return bytes.every((byte, index) => head[from + index] === byte);
}

export function ascii(text: string): readonly number[] {
  return [...text].map((letter) => letter.charCodeAt(0));
}
