/** The site's wording of reminder lines: worded, confirmed as they are, switched off, or put back. */
import { REMINDER_LENGTH_MAX, REMINDER_LINES } from './catalogue/reminder-lines.ts';
import type { Wording } from './site-book.ts';
import {
  type ChangeContext,
  type Outcome,
  refused,
  type SiteDraft,
  typedLine,
  withBook,
} from './site-change-draft.ts';
import type { ChangeOf } from './site-change-kinds.ts';

const AUTHOR_MAX = 60;

/**
 * Words that say of a machine, or of work at it, that nothing can happen, or that it meets a standard: no line may,
 * since that is for the site's assessment to say. «Not safe without its guard» says the opposite, and may stand.
 */
const CLAIMS =
  /(?<!\b(?:not|never|un)\s)\b(?:safe|safely|harmless|foolproof|(?:risk|hazard|danger)[- ]free|no (?:risk|hazard|danger)s?|no longer dangerous|(?:can ?not|can['’]t|will not|won['’]t) (?:hurt|harm|injure|burn|crush)|compl(?:y|ies|iant)|conforms?|certified|(?:CE|UKCA)[- ]marked|meets (?:the )?(?:standard|EN\b|ISO\b|law))\b/i;

/** The words that claim a machine to be safe, or null. */
export function safetyClaim(text: string): string | null {
  return CLAIMS.exec(text)?.[0] ?? null;
}

export function wordReminder(
  draft: SiteDraft,
  change: ChangeOf<'word-reminder'>,
  context: ChangeContext,
): Outcome<SiteDraft> {
  const text = typedLine(change.text, 'reminder', REMINDER_LENGTH_MAX);
  if ('faults' in text) return text;
  const words = safetyClaim(text.ok);
  if (words !== null) return refused({ fault: 'claims-safety', words });
  return written(draft, change, text.ok, context);
}

export function switchOffReminder(
  draft: SiteDraft,
  change: ChangeOf<'switch-off-reminder'>,
  context: ChangeContext,
): Outcome<SiteDraft> {
  return written(draft, change, null, context);
}

export function restoreReminder(
  draft: SiteDraft,
  { line }: ChangeOf<'restore-reminder'>,
): Outcome<SiteDraft> {
  const { reminders } = draft.book;
  const wordings = reminders.wordings.filter((wording) => wording.line !== line);
  if (wordings.length === reminders.wordings.length) {
    return isKnown(line) ? { ok: draft } : refused({ fault: 'reminder-unknown', line });
  }
  return withBook(draft, { reminders: { ...reminders, wordings } });
}

function written(
  draft: SiteDraft,
  { line, by: typedBy, review }: Pick<Wording, 'line' | 'by' | 'review'>,
  text: string | null,
  { today }: ChangeContext,
): Outcome<SiteDraft> {
  if (!isKnown(line)) return refused({ fault: 'reminder-unknown', line });
  const by = typedLine(typedBy, 'author', AUTHOR_MAX);
  if ('faults' in by) return by;
  if (review < today) return refused({ fault: 'review-past', review, today });
  const { reminders } = draft.book;
  const wording = { line, text, by: by.ok, on: today, review };
  return withBook(draft, {
    reminders: {
      ...reminders,
      wordings: [...reminders.wordings.filter((one) => one.line !== line), wording],
    },
  });
}

const isKnown = (line: string) => REMINDER_LINES.some(({ id }) => id === line);
