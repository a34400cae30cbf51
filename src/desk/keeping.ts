/** The desk's identity and key, kept in the browser from one visit to the next. */
import * as z from 'zod/mini';
import { benchIdSchema, lineSchema, siteIdSchema } from '../domain/record/envelope.ts';
import { text, written } from '../domain/shapes.ts';
import { siteFactsSchema } from './site-facts.ts';

export const setUpSchema = z.object({
  site: siteIdSchema,
  dataset: text(8, 64),
  desk: benchIdSchema,
  name: lineSchema(60),
  key: written(/^[0-9a-f]{64}$/, 'has another form'),
  facts: siteFactsSchema,
});
export type SetUp = z.infer<typeof setUpSchema>;

const SLOT = 'waxend-desk';

export interface Keeping {
  /** Null where nothing is kept, or nothing that can be read. */
  read(): SetUp | null;
  /** False where this window keeps nothing. */
  write(setUp: SetUp): boolean;
  /** Asked before a set-up code is spent, since a code works once. */
  keeps(): boolean;
}

/** @param storage a function, since a browser that forbids storage throws when it is merely named */
export function keepingIn(storage: () => Pick<Storage, 'getItem' | 'setItem' | 'removeItem'>): Keeping {
  const put = (slot: string, text: string) => {
    try {
      storage().setItem(slot, text);
      return storage().getItem(slot) === text;
    } catch {
      // Forbidden or full: either way nothing is kept, which is what the answer says.
      return false;
    }
  };
  return {
    read() {
      try {
        return setUpSchema.safeParse(JSON.parse(storage().getItem(SLOT) ?? 'null')).data ?? null;
      } catch {
        // Forbidden storage, or text that is no JSON: the desk is set up anew.
        return null;
      }
    },
    write: (setUp) => put(SLOT, JSON.stringify(setUp)),
    keeps() {
      const kept = put(`${SLOT}-try`, 'kept');
      if (kept) storage().removeItem(`${SLOT}-try`);
      return kept;
    },
  };
}
