/** Readers: programs outside that may read by /api/read and do nothing else, each with a token of its own. */
import { bytesToHex } from '@noble/hashes/utils.js';
import * as z from 'zod/mini';
import { codeHash } from '../../domain/code-hash.ts';
import { asBenchId } from '../../domain/ids.ts';
import { lineSchema } from '../../domain/record/envelope.ts';
import type { BenchEntry } from '../ledger/ledger.ts';
import type { Order } from './order.ts';
import { needed, Refusal } from './refusal.ts';

const ID_BYTES = 8;
const TOKEN_BYTES = 32;

const namedSchema = z.object({ name: lineSchema(60) });

/** The token is said here and nowhere again: the ledger keeps its hash. */
export async function addReader({ ledger, site, options, random, now }: Order): Promise<string> {
  const name = nameIn(options);
  const token = bytesToHex(random(TOKEN_BYTES));
  const reader = asBenchId(`r-${bytesToHex(random(ID_BYTES))}`);
  const entry = await ledger.addReader(site, { reader, name, keyHash: codeHash(token), now });
  if (entry === null) throw new Refusal(`--name: there is a reader ${name} already. Revoke it first.`);
  return [
    `Token of ${name}: ${token}`,
    'It is shown this once. Send it as «Authorization: Bearer …» to /api/read/v1; it reads all records of this site.',
  ].join('\n');
}

export async function revokeReader({ ledger, site, options, now }: Order): Promise<string> {
  const name = nameIn(options);
  const standing = (await ledger.benches(site))
    .filter(isReader)
    .find((one) => one.name === name && one.revokedAt === null);
  if (standing === undefined) throw new Refusal(`--name: there is no reader ${name}; see list.`);
  await ledger.revokeBench(site, standing.bench, now);
  return `${name} is revoked: its token reads nothing any more.`;
}

export function isReader({ place }: Pick<BenchEntry, 'place'>): boolean {
  return place === 'reader';
}

export function readerLine({ name, enrolledAt, revokedAt }: BenchEntry): string {
  const since = `since ${new Date(enrolledAt).toISOString()}`;
  return revokedAt === null ? `${name}, ${since}` : `${name}, revoked ${new Date(revokedAt).toISOString()}`;
}

function nameIn(options: Order['options']): string {
  return namedSchema.parse({ name: needed(options, 'name').normalize('NFC').trim() }).name;
}
