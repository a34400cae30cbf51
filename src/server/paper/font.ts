/**
 * The typeface inside the page: a ticket must look the same wherever it is printed, and this one keeps
 * 0 from O and 1 from l. Read once, from the font's own package.
 */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';

const PACKAGE = '@fontsource-variable/atkinson-hyperlegible-next/files';

/** Subset and the characters it holds, as the package's own style sheet gives them. */
const SUBSETS = [
  [
    'latin-ext',
    'U+0100-02BA,U+02BD-02C5,U+02C7-02CC,U+02CE-02D7,U+02DD-02FF,U+0304,U+0308,U+0329,U+1D00-1DBF,U+1E00-1E9F,U+1EF2-1EFF,U+2020,U+20A0-20AB,U+20AD-20C0,U+2113,U+2C60-2C7F,U+A720-A7FF',
  ],
  [
    'latin',
    'U+0000-00FF,U+0131,U+0152-0153,U+02BB-02BC,U+02C6,U+02DA,U+02DC,U+0304,U+0308,U+0329,U+2000-206F,U+20AC,U+2122,U+2191,U+2193,U+2212,U+2215,U+FEFF,U+FFFD',
  ],
] as const;

export const FONT_FAMILY = 'Atkinson Hyperlegible Next Variable';

/** `@font-face` rules with the font as data, some 70 kB. */
export const fontFaces: string = SUBSETS.map(([subset, range]) => {
  const path = `${PACKAGE}/atkinson-hyperlegible-next-${subset}-wght-normal.woff2`;
  const data = readFileSync(createRequire(import.meta.url).resolve(path)).toString('base64');
  return `@font-face{font-family:"${FONT_FAMILY}";font-weight:200 800;unicode-range:${range};src:url(data:font/woff2;base64,${data}) format("woff2")}`;
}).join('\n');
