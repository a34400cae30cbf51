/**
 * The keys of a US keyboard by their place (`KeyboardEvent.code`, W3C UI Events). A scanner set up as a US
 * keyboard presses places; what the tablet's own layout makes of them does not matter.
 */

const DIGITS = ')!@#$%^&*(';

/** Unshifted and shifted character of each other key that prints. */
const PRINTING: Readonly<Record<string, string>> = {
  Space: '  ',
  Minus: '-_',
  Equal: '=+',
  BracketLeft: '[{',
  BracketRight: ']}',
  Backslash: '\\|',
  Semicolon: ';:',
  Quote: '\'"',
  Backquote: '`~',
  Comma: ',<',
  Period: '.>',
  Slash: '/?',
  NumpadAdd: '++',
  NumpadSubtract: '--',
  NumpadMultiply: '**',
  NumpadDivide: '//',
  NumpadDecimal: '..',
};

/** The character that a US keyboard prints for this key, or null where it prints none or the place is unknown. */
export function usCharacter(code: string, shift: boolean): string | null {
  const letter = /^Key([A-Z])$/.exec(code)?.[1];
  if (letter !== undefined) return shift ? letter : letter.toLowerCase();
  const digit = /^Digit([0-9])$/.exec(code)?.[1];
  if (digit !== undefined) return shift ? DIGITS.charAt(Number(digit)) : digit;
  const numpad = /^Numpad([0-9])$/.exec(code)?.[1];
  if (numpad !== undefined) return numpad;
  return PRINTING[code]?.charAt(shift ? 1 : 0) ?? null;
}
