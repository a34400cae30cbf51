/**
 * The typeface inside the page: a ticket must look the same wherever it is printed. Read once, from the font's own
 * package.
 */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { FONT_SUBSETS, type FontSubset, fontFace } from '../../paper/font.ts';

const PACKAGE = '@fontsource-variable/atkinson-hyperlegible-next/files';

/** `@font-face` rules with the font as data, some 70 kB. */
export const fontFaces: string = (Object.keys(FONT_SUBSETS) as FontSubset[])
  .map((subset) => {
    const path = `${PACKAGE}/atkinson-hyperlegible-next-${subset}-wght-normal.woff2`;
    const data = readFileSync(createRequire(import.meta.url).resolve(path)).toString('base64');
    return fontFace(subset, `data:font/woff2;base64,${data}`);
  })
  .join('\n');
