/**
 * Whether a text that is no code of ours would be one if keyboard layouts had not crossed: then the scanner (or
 * the tablet, where it tells no key places) is set up for another layout. It is only ever a hint for the
 * sentence on the screen; nothing is booked on it.
 *
 * The layouts are the usual ones for France and Germany (common practice, no source), on the places where they
 * differ from the US one in letters and digits.
 */
import { classify } from '../../domain/code.ts';

export type StrayLayout = 'azerty' | 'qwertz';

/** For each layout, strings of equal length: the US characters, and what the same keys print there. */
const LAYOUTS: Readonly<Record<StrayLayout, { readonly us: string; readonly there: string }>> = {
  azerty: {
    us: 'qwazmQWAZM;:,1234567890!@#$%^&*()-',
    there: 'azqw,AZQW?mM;&é"\'(-è_çà1234567890)',
  },
  qwertz: { us: 'yzYZ-/_?', there: 'zyZYß-?_' },
};

/**
 * The layout that explains `text`, or null.
 *
 * Both crossings are tried: a US scanner on a tablet of that layout, and a scanner of that layout whose key
 * places were read as a US keyboard's.
 */
export function layoutHint(text: string): StrayLayout | null {
  const found = (['azerty', 'qwertz'] as const).find((layout) => {
    const { us, there } = LAYOUTS[layout];
    return isOurs(remap(text, there, us)) || isOurs(remap(text, us, there));
  });
  return !isOurs(text) && found !== undefined ? found : null;
}

function isOurs(text: string): boolean {
  const { kind } = classify(text, 'wedge');
  return kind !== 'damaged' && kind !== 'foreign';
}

function remap(text: string, from: string, to: string): string {
  return [...text]
    .map((character) => {
      const index = from.indexOf(character);
      return index < 0 ? character : to.charAt(index);
    })
    .join('');
}
