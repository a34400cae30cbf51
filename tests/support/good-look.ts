import { expect, type Page } from 'playwright/test';
import { axeFindings, faintTexts, smallTargets, stickingOut } from './look-rules.ts';

/** Holds the present screen to all rules at once, so that one failure tells everything about it. */
export async function expectGoodLook(page: Page, screen: string): Promise<void> {
  const found = {
    axe: await axeFindings(page),
    small: await smallTargets(page),
    faint: await faintTexts(page),
    out: await stickingOut(page),
  };
  expect.soft(found, screen).toEqual({ axe: [], small: [], faint: [], out: [] });
}
