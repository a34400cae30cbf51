/** Fitting words to paper. It has no more room, and must not hide that something was left out. */

/** `text` in at most `most` characters, its end shown as cut. */
export function shortened(text: string, most: number): string {
  const characters = [...text];
  return characters.length <= most ? text : `${characters.slice(0, most - 1).join('')}…`;
}

/**
 * As many of `things` as stand on paper in `most` characters, each cut to `oneThing`; if any are left out,
 * a last entry says how many.
 * @param more words that many were left out
 */
export function listing(
  things: readonly string[],
  { most, oneThing, more }: { most: number; oneThing: number; more: (count: number) => string },
): readonly string[] {
  const short = things.map((thing) => shortened(thing, oneThing));
  let length = 0;
  const end = short.findIndex((thing) => {
    length += thing.length + 2;
    return length > most;
  });
  return end < 0 ? short : [...short.slice(0, end), more(short.length - end)];
}
