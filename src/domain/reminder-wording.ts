/**
 * The reminder lines of a stage in the site's own words. What the site's competent person worded stands over the
 * catalogue's text, what was switched off is left out, and the sign stays with its line.
 */
import type { ReminderLine } from './catalogue/reminder-lines.ts';
import { remindersFor } from './catalogue/reminders.ts';
import type { StageCode } from './ids.ts';
import type { SiteBook, Wording } from './site-book.ts';

export interface SiteLine extends ReminderLine {
  /** Who worded or confirmed it, on which day, and when it is to be looked at again; null for the catalogue's own. */
  readonly wording: Pick<Wording, 'by' | 'on' | 'review'> | null;
}

type Reminders = Pick<SiteBook, 'reminders'>;

/** Every line that the stage shows at this site, most particular first. */
export function reminderLines(stage: StageCode, { reminders }: Reminders): readonly SiteLine[] {
  return remindersFor(stage).flatMap((line): readonly SiteLine[] => {
    const worded = reminders.wordings.find((wording) => wording.line === line.id);
    if (worded === undefined) return [{ ...line, wording: null }];
    const { text, by, on, review } = worded;
    return text === null ? [] : [{ ...line, text, wording: { by, on, review } }];
  });
}

/** Whether the line still waits for the site's competent person to confirm, word or switch it off. */
export function isUnconfirmed({ confirm, wording }: SiteLine): boolean {
  return confirm && wording === null;
}

/** Wordings whose day of review has passed, the longest overdue first; a line switched off is reviewed too. */
export function overdueReviews({ reminders }: Reminders, today: string): readonly Wording[] {
  return reminders.wordings
    .filter(({ review }) => review < today)
    .sort((a, b) => (a.review < b.review ? -1 : a.review > b.review ? 1 : 0));
}
