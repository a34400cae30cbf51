/** What the look of every screen is held to. Each gives what breaks it, so that a failure says which element it was. */
import axe from 'axe-core';
import type { Page } from 'playwright/test';

/** 15 and 20 mm at the 96 CSS pixels of an inch that a tablet's viewport is set to, less the rounding of a layout. */
const TARGET_PX = 84;
const PRIMARY_PX = 105;
/** WCAG 2.2, 1.4.6: enhanced contrast. */
const CONTRAST = 7;

/** axe-core's findings with all of its rules, those of the enhanced level left out. */
export async function axeFindings(page: Page): Promise<readonly string[]> {
  // Given as source to the debugger, which the page's content policy does not bind.
  await page.evaluate(axe.source);
  return page.evaluate(async () => {
    const { violations } = await (window as unknown as { axe: typeof import('axe-core') }).axe.run();
    return violations.flatMap(({ id, nodes }) => nodes.map(({ html }) => `${id}: ${html}`));
  });
}

/** Buttons of the bar, the keypad and the choices that a thick finger would miss. */
export function smallTargets(page: Page): Promise<readonly string[]> {
  return page.evaluate(
    ({ least, primary }) =>
      [
        ...document.querySelectorAll(
          '.bench .head button, .bench .bar button, .bench .keypad button, .bench .main button',
        ),
      ].flatMap((button) => {
        const { width, height } = button.getBoundingClientRect();
        const due = button.matches('.bar .strong, .note .strong') ? primary : least;
        const small = height < due || width < least;
        return small ? [`${button.textContent}: ${Math.round(width)}x${Math.round(height)}`] : [];
      }),
    { least: TARGET_PX, primary: PRIMARY_PX },
  );
}

/** Texts of the bar whose contrast falls short, by the formula of WCAG 2.2 («relative luminance»). */
export function faintTexts(page: Page): Promise<readonly string[]> {
  return page.evaluate((least) => {
    const channels = (colour: string) => (colour.match(/[\d.]+/g) ?? []).map(Number);
    const luminance = (colour: string) => {
      const [r = 0, g = 0, b = 0] = channels(colour).map((value) => {
        const share = value / 255;
        return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
      });
      return 0.2126 * r + 0.7152 * g + 0.0722 * b;
    };
    const behind = (element: Element | null): string => {
      if (element === null) return 'rgb(255, 255, 255)';
      const { backgroundColor } = getComputedStyle(element);
      const [, , , opacity = 1] = channels(backgroundColor);
      return opacity === 0 ? behind(element.parentElement) : backgroundColor;
    };
    return [...document.querySelectorAll('.bar .says, .bar .next, .bar button')].flatMap((element) => {
      const lights = [luminance(getComputedStyle(element).color), luminance(behind(element))];
      const ratio = (Math.max(...lights) + 0.05) / (Math.min(...lights) + 0.05);
      return ratio < least ? [`${element.textContent}: ${ratio.toFixed(1)}`] : [];
    });
  }, CONTRAST);
}

/** What sticks out of the window sideways, and what is cut off in the bar. */
export function stickingOut(page: Page): Promise<readonly string[]> {
  return page.evaluate(() => {
    const width = document.documentElement.clientWidth;
    const out = [...document.querySelectorAll('body *')].filter((element) => {
      const { left, right, width: own } = element.getBoundingClientRect();
      // The camera's picture fills its window by being larger than it.
      return own > 0 && element.tagName !== 'VIDEO' && (left < -0.5 || right > width + 0.5);
    });
    const bar = document.querySelector('.bar');
    const below = bar !== null && bar.getBoundingClientRect().bottom > window.innerHeight + 0.5;
    return [
      ...out.map((element) => `${element.tagName} ${element.className} ${element.textContent?.slice(0, 40)}`),
      ...(below ? ['the bar goes below the window'] : []),
    ];
  });
}
