/** A set-up code that comes with the address, `#setup=W…`, and whether the tablet may take it at once. */
import type { View } from './app/screen.ts';

export function setUpCodeIn(hash: string): string | null {
  return /^#setup=([0-9A-Za-z-]{1,40})$/.exec(hash)?.[1] ?? null;
}

/**
 * Whoever follows a set-up link means it, as whoever scans a card in the settings does. A bench that is at work is
 * another matter: a link must not turn it into another one under the hands of whoever is on.
 */
export function mayFollowSetUpLink({ on, open }: Pick<View, 'on' | 'open'>, enrolled: boolean): boolean {
  return !enrolled || (on === null && open.length === 0);
}
