/** POST /api/enrol: a set-up code for an identity and a key. */
import { bytesToHex } from '@noble/hashes/utils.js';
import { codeHash } from '../../domain/code-hash.ts';
import { asBenchId } from '../../domain/ids.ts';
import { type EnrolAnswer, enrolSchema } from '../../wire/enrol.ts';
import { readBody } from '../body.ts';
import type { AppContext, ServerParts } from '../parts.ts';
import { reasonsOf, refuse } from '../refuse.ts';
import { type Allowance, TokenBuckets } from '../token-buckets.ts';

export const ENROL_BYTES_MAX = 4 * 1024;

/** A code has 46 random bits and a day: at ten guesses a minute nobody finds one. A rack of new tablets still passes. */
const PER_ADDRESS: Allowance = { burst: 30, perMinute: 10 };
const PER_CODE: Allowance = { burst: 10, perMinute: 2 };

const KEY_BYTES = 32;
const BENCH_ID_BYTES = 8;

export function answerEnrol({ ledger, clock, random }: ServerParts) {
  const addresses = new TokenBuckets(PER_ADDRESS);
  const codes = new TokenBuckets(PER_CODE);
  return async (c: AppContext): Promise<Response> => {
    const body = await readBody(c, ENROL_BYTES_MAX);
    if (body.is === 'refused') return body.answer;
    const asked = enrolSchema.safeParse(body.value);
    if (!asked.success) return refuse(c, 'bad-request', reasonsOf(asked.error));

    const now = clock();
    const hash = codeHash(asked.data.token);
    const waitMs = addresses.take(addressOf(c), now) || codes.take(hash, now);
    if (waitMs > 0) {
      c.header('retry-after', String(Math.ceil(waitMs / 1000)));
      return refuse(c, 'too-many-tries');
    }

    const key = bytesToHex(random(KEY_BYTES));
    const enrolled = await ledger.enrol({
      codeHash: hash,
      keyHash: codeHash(key),
      bench: asBenchId(`b-${bytesToHex(random(BENCH_ID_BYTES))}`),
      persisted: asked.data.persisted,
      now,
    });
    switch (enrolled.is) {
      case 'code-unknown':
        return refuse(c, 'code-unknown');
      case 'code-used':
        return refuse(c, 'code-used', ['token: has been used']);
      case 'code-expired':
        return refuse(c, 'code-used', ['token: is past its time']);
      case 'lanes-used-up':
        return refuse(c, 'not-allowed', ['site: has enrolled as many tablets as it can number']);
      case 'enrolled': {
        const { entry, dataset, book } = enrolled;
        const { site, bench, place, name, lane } = entry;
        const stages = [...entry.stages];
        return c.json({ site, dataset, bench, place, name, stages, lane, key, book } satisfies EnrolAnswer);
      }
    }
  };
}

/** The neighbour on the network; behind a proxy all share one, and the allowance is wide enough for that. */
function addressOf(c: AppContext): string {
  return c.env?.incoming?.socket.remoteAddress ?? 'unknown';
}
