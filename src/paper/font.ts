/** The typeface of all paper: it keeps 0 from O and 1 from l. */

export const FONT_FAMILY = 'Atkinson Hyperlegible Next Variable';

/** Subset and the characters it holds, as the font package's own style sheet gives them. */
export const FONT_SUBSETS = {
  'latin-ext':
    'U+0100-02BA,U+02BD-02C5,U+02C7-02CC,U+02CE-02D7,U+02DD-02FF,U+0304,U+0308,U+0329,U+1D00-1DBF,U+1E00-1E9F,U+1EF2-1EFF,U+2020,U+20A0-20AB,U+20AD-20C0,U+2113,U+2C60-2C7F,U+A720-A7FF',
  latin:
    'U+0000-00FF,U+0131,U+0152-0153,U+02BB-02BC,U+02C6,U+02DA,U+02DC,U+0304,U+0308,U+0329,U+2000-206F,U+20AC,U+2122,U+2191,U+2193,U+2212,U+2215,U+FEFF,U+FFFD',
} as const;
export type FontSubset = keyof typeof FONT_SUBSETS;

/** One `@font-face` rule. @param address where the woff2 of the subset is */
export function fontFace(subset: FontSubset, address: string): string {
  return `@font-face{font-family:"${FONT_FAMILY}";font-weight:200 800;unicode-range:${FONT_SUBSETS[subset]};src:url(${address}) format("woff2")}`;
}
