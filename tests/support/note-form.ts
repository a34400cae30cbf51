/** A note that is begun and not made: the place is touched, what it is is not. */
import { expect, type Locator } from 'playwright/test';
import { actions } from '../../src/words/bench.ts';
import { noteWords } from '../../src/words/choices.ts';
import type { Tablet } from './tablet.ts';

/** What can be chosen at the place that was touched. */
export function defectsIn({ page }: Tablet): Locator {
  return page.getByRole('region', { name: noteWords.what }).locator('.defect');
}

/** On the card of a pair that is clocked in. */
export async function beginNote(tablet: Tablet): Promise<void> {
  await tablet.tap(actions.more);
  const add = tablet.button(actions.addNote);
  // A machine that has much else to do can hold a finger down for so long that it is no tap; then it taps again.
  await expect(async () => {
    if (await add.isVisible()) await add.tap();
    await expect(add).toHaveCount(0, { timeout: 2_000 });
  }).toPass();
  await tablet.tapZone('left, tread, inside');
  await expect(defectsIn(tablet).first()).toBeVisible();
}
