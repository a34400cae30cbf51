/** Badges and set-up codes are known by their hash alone. Apart from the book, since a tablet hashes by other means. */
import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js';
import type { OperativeId } from './ids.ts';
import { holderOfHash, type SiteBook } from './site-book.ts';

/** SHA-256 of a badge's or set-up code's text, in hexadecimal: what is stored instead of the code. */
export function codeHash(token: string): string {
  return bytesToHex(sha256(utf8ToBytes(token)));
}

/** The holder of a badge, or null where the site does not know it or has withdrawn it. */
export function holderOf(book: SiteBook, token: string): OperativeId | null {
  return holderOfHash(book, codeHash(token));
}
