/**
 * A small seeded generator, so that the same seed gives the same workshop to the byte. sfc32 (small fast
 * counting generator, 128 bits of state), started from the seed by SplitMix32. Not for secrets.
 */

export interface Prng {
  /** A number in [0, 1). */
  readonly next: () => number;
  /** A whole number from `least` to `most`, both included. */
  readonly int: (least: number, most: number) => number;
  /** A number in [least, most). */
  readonly between: (least: number, most: number) => number;
  /** Three-cornered: most often near `usual`. */
  readonly around: (least: number, usual: number, most: number) => number;
  readonly chance: (share: number) => boolean;
  /** One of `items`. Throws RangeError on none. */
  readonly pick: <Item>(items: readonly Item[]) => Item;
  /** One of `items` by weight. Throws RangeError where no weight is above 0. */
  readonly weighted: <Item>(items: readonly (readonly [Item, number])[]) => Item;
  readonly bytes: (count: number) => Uint8Array;
}

/** A generator from a seed, which is taken as 32 bits. */
export function prng(seed: number): Prng {
  const next32 = sfc32(seed);
  const next = () => next32() / 2 ** 32;
  const between = (least: number, most: number) => least + next() * (most - least);
  const int = (least: number, most: number) => least + Math.floor(next() * (most - least + 1));
  return {
    next,
    int,
    between,
    around: (least, usual, most) => {
      const share = next();
      const corner = (usual - least) / (most - least);
      return share < corner
        ? least + Math.sqrt(share * (most - least) * (usual - least))
        : most - Math.sqrt((1 - share) * (most - least) * (most - usual));
    },
    chance: (share) => next() < share,
    pick: (items) => {
      const [item] = items.slice(int(0, items.length - 1)) as readonly (typeof items)[number][];
      if (item === undefined) throw new RangeError('nothing to pick from');
      return item;
    },
    weighted: (items) => {
      let rest = next() * items.reduce((sum, [, weight]) => sum + weight, 0);
      for (const [item, weight] of items) {
        rest -= weight;
        if (rest < 0) return item;
      }
      throw new RangeError('nothing to pick from');
    },
    bytes: (count) => {
      const bytes = new Uint8Array(count);
      for (let index = 0; index < count; index += 1) bytes[index] = next32() >>> 24;
      return bytes;
    },
  };
}

function sfc32(seed: number): () => number {
  const mix = splitMix32(seed);
  let a = mix();
  let b = mix();
  let c = mix();
  let counter = 1;
  return () => {
    const sum = (((a + b) | 0) + counter) | 0;
    counter = (counter + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = (c << 21) | (c >>> 11);
    c = (c + sum) | 0;
    return sum >>> 0;
  };
}

function splitMix32(seed: number): () => number {
  let state = seed | 0;
  return () => {
    state = (state + 0x9e3779b9) | 0;
    let mixed = Math.imul(state ^ (state >>> 16), 0x21f0aaad);
    mixed = Math.imul(mixed ^ (mixed >>> 15), 0x735a2d97);
    return (mixed ^ (mixed >>> 15)) | 0;
  };
}
