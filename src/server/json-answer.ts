/**
 * An answer of JSON whose text is there already. It is packed here, off the event loop and lightly: what a tablet asks for
 * is asked for by two hundred of them at once, and most answers are too short to be worth packing at all.
 */
import { promisify } from 'node:util';
import { gzip } from 'node:zlib';
import type { ContentfulStatusCode } from 'hono/utils/http-status';
import type { AppContext } from './parts.ts';

const pack = promisify(gzip);
/** Below, packing takes longer than the bytes that it saves take on the air: an answer to a push is left as it is. */
const PACKED_FROM_BYTES = 32 * 1024;
const LIGHTLY = { level: 1 };

export async function jsonAnswer(
  c: AppContext,
  text: string,
  status: ContentfulStatusCode = 200,
): Promise<Response> {
  const bytes = Buffer.from(text);
  const headers = {
    'content-type': 'application/json',
    // What is not packed here is not to be packed further out either.
    'cache-control': 'no-store, no-transform',
    vary: 'accept-encoding',
  };
  if (bytes.length < PACKED_FROM_BYTES || !takesGzip(c))
    return c.body(bytes, status, { ...headers, 'content-length': String(bytes.length) });
  const packed = new Uint8Array(await pack(bytes, LIGHTLY));
  return c.body(packed, status, {
    ...headers,
    'content-encoding': 'gzip',
    'content-length': String(packed.length),
  });
}

/** RFC 9110, section 12.5.3: what is said of gzip itself goes before what is said of all codings. */
function takesGzip(c: AppContext): boolean {
  const wanted = new Map(
    (c.req.header('accept-encoding') ?? '').split(',').map((coding) => {
      const [name = '', ...told] = coding.toLowerCase().split(';');
      const weight = told.find((one) => /^\s*q\s*=/.test(one))?.split('=')[1] ?? '1';
      return [name.trim(), Number(weight)] as const;
    }),
  );
  return (wanted.get('gzip') ?? wanted.get('*') ?? 0) > 0;
}
