/**
 * One question to the server, asked when the page shows it and again while its answer may change. What was got stays on the
 * page whatever happens; while the server still computes, it is asked again and says how far it is.
 */
import { useEffect, useState } from 'preact/hooks';
import * as z from 'zod/mini';
import { type Preparing, preparingSchema } from '../../wire/sheet.ts';
import type { DeskApi, Trouble } from '../api.ts';
import type { SetUp } from '../set-up.ts';

const WHILE_PREPARING_MS = 700;
const AFTER_TROUBLE_MS = 10_000;

export interface Asked<Value> {
  readonly value: Value | null;
  /** How far the server is with what it has to compute first. */
  readonly preparing: Preparing['preparing'] | null;
  readonly trouble: Trouble | null;
}

const NOTHING = { value: null, preparing: null, trouble: null };

/**
 * @param ways null asks nothing
 * @param path null asks nothing either
 * @param againMs how soon an answer is asked for anew; null for one that stands
 * @param nudge asked anew at once whenever it is another number
 * @param body what is asked by a POST, as JSON; null asks by a GET
 */
export function useAsked<Schema extends z.ZodMiniType>(
  ways: { readonly api: DeskApi; readonly setUp: SetUp } | null,
  path: string | null,
  schema: Schema,
  againMs: number | null,
  nudge = 0,
  body: string | null = null,
): Asked<z.infer<Schema>> {
  const api = ways?.api ?? null;
  const setUp = ways?.setUp ?? null;
  const [got, setGot] = useState<{ path: string | null; asked: Asked<z.infer<Schema>> }>({
    path,
    asked: NOTHING,
  });
  useEffect(() => {
    if (path === null || api === null || setUp === null) return;
    const stop = new AbortController();
    let timer: ReturnType<typeof setTimeout> | undefined;
    const either = z.union([preparingSchema, schema]);
    const ask = async (): Promise<void> => {
      const answer = await (body === null
        ? api.ask(setUp, path, either, stop.signal)
        : api.ask(setUp, path, either, stop.signal, JSON.parse(body)));
      if (stop.signal.aborted) return;
      if (!answer.ok) {
        setGot((before) => ({ path, asked: { ...kept(before, path), trouble: answer.trouble } }));
        if (answer.trouble === 'unreachable') timer = setTimeout(ask, AFTER_TROUBLE_MS);
        return;
      }
      const preparing = preparingSchema.safeParse(answer.value);
      if (preparing.success) {
        const { preparing: how } = preparing.data;
        setGot((before) => ({ path, asked: { ...kept(before, path), preparing: how, trouble: null } }));
        timer = setTimeout(ask, WHILE_PREPARING_MS);
        return;
      }
      setGot({ path, asked: { value: answer.value as z.infer<Schema>, preparing: null, trouble: null } });
      if (againMs !== null) timer = setTimeout(ask, againMs);
    };
    void ask();
    return () => {
      stop.abort();
      clearTimeout(timer);
    };
  }, [api, setUp, path, schema, againMs, nudge, body]);
  // An answer to another question is none to this one.
  return got.path === path ? got.asked : NOTHING;
}

function kept<Value>(
  before: { readonly path: string | null; readonly asked: Asked<Value> },
  path: string,
): Asked<Value> {
  return before.path === path ? before.asked : NOTHING;
}
