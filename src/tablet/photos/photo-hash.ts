import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex } from '@noble/hashes/utils.js';

/** SHA-256 (FIPS 180-4) in hexadecimal. A page without TLS has no `crypto.subtle`. */
export async function photoHash(
  bytes: ArrayBuffer,
  subtle: Pick<SubtleCrypto, 'digest'> | undefined = globalThis.crypto?.subtle as SubtleCrypto | undefined,
): Promise<string> {
  const digest = subtle === undefined ? sha256(new Uint8Array(bytes)) : await subtle.digest('SHA-256', bytes);
  return bytesToHex(new Uint8Array(digest));
}
