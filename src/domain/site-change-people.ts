/**
 * Who is released for which machine stage, and what is shown of single persons. A hand without a list may run every
 * machine: the site keeps none for it.
 */
import { isReleased } from './site-book.ts';
import { type Outcome, refused, type SiteDraft, withBook } from './site-change-draft.ts';
import type { ChangeOf } from './site-change-kinds.ts';

export function release(
  draft: SiteDraft,
  { operative, stage, released }: ChangeOf<'release'>,
): Outcome<SiteDraft> {
  const { book } = draft;
  if (!book.operatives.some(({ id }) => id === operative)) {
    return refused({ fault: 'operative-unknown', operative });
  }
  if (!machines(draft).includes(stage)) return refused({ fault: 'no-machine', stage });
  if (isReleased(book, operative, stage) === released) return { ok: draft };
  return withBook(draft, {
    operatives: book.operatives.map((one) => {
      if (one.id !== operative) return one;
      const list = one.released ?? machines(draft);
      return { ...one, released: released ? [...list, stage] : list.filter((code) => code !== stage) };
    }),
  });
}

/** A list begins with every machine stage, so that keeping one shuts nobody out by itself. */
export function releaseList(
  draft: SiteDraft,
  { operative, kept }: ChangeOf<'release-list'>,
): Outcome<SiteDraft> {
  const { book } = draft;
  const hand = book.operatives.find(({ id }) => id === operative);
  if (hand === undefined) return refused({ fault: 'operative-unknown', operative });
  if (kept === (hand.released !== null)) return { ok: draft };
  const released = kept ? machines(draft) : null;
  return withBook(draft, {
    operatives: book.operatives.map((one) => (one.id === operative ? { ...one, released } : one)),
  });
}

const machines = ({ book }: SiteDraft) =>
  book.stages.filter(({ machine }) => machine).map(({ code }) => code);

/** Switched off they are shown to nobody; the records that they are counted from stay. */
export function setPersonal(draft: SiteDraft, { personal }: ChangeOf<'personal'>): Outcome<SiteDraft> {
  const { figures, keepDays } = draft.book.personal;
  if (figures === personal.figures && keepDays === personal.keepDays) return { ok: draft };
  return withBook(draft, { personal });
}
