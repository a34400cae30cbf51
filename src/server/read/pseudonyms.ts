/**
 * What hands are called outside: HMAC-SHA-256 (RFC 2104) of the hand's id under a key that the site alone has, cut to 80
 * bits. Without the key nobody gets from the one to the other, not even by trying all ids of the site's book.
 */
import { hmac } from '@noble/hashes/hmac.js';
import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex, hexToBytes, utf8ToBytes } from '@noble/hashes/utils.js';
import type { HandNaming } from '../../domain/export/view.ts';
import type { OperativeId, SiteId } from '../../domain/ids.ts';
import type { ServerParts } from '../parts.ts';

const KEY_BYTES = 32;
const PSEUDONYM_BYTES = 10;

/** The site's own pseudonyms; its key is drawn when they are first wanted. */
export async function pseudonymsOf(
  { ledger, random }: Pick<ServerParts, 'ledger' | 'random'>,
  site: SiteId,
): Promise<HandNaming> {
  return pseudonyms(hexToBytes(await ledger.pseudonymKey(site, bytesToHex(random(KEY_BYTES)))));
}

export function pseudonyms(key: Uint8Array): HandNaming {
  const known = new Map<OperativeId, string>();
  return (hand) => {
    const had = known.get(hand);
    if (had !== undefined) return had;
    const mac = hmac(sha256, key, utf8ToBytes(hand)).slice(0, PSEUDONYM_BYTES);
    const called = `hand-${bytesToHex(mac)}`;
    known.set(hand, called);
    return called;
  };
}
