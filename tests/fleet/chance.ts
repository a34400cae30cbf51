/**
 * Chance from a text: the same text gives the same numbers for ever. Everything that may happen one way or the other
 * draws from a chance of its own, named after what it is about, so that leaving one thing out of a story does not
 * change the luck of all others.
 */

export class Chance {
  #a: number;
  #b: number;
  #c: number;
  #d: number;

  constructor(text: string) {
    [this.#a, this.#b, this.#c, this.#d] = mixed(text);
    for (let n = 0; n < 12; n += 1) this.next();
  }

  /** 0 to 1, without 1: the generator «sfc32», whose period no run can use up. */
  next(): number {
    const sum = (this.#a + this.#b + this.#d) | 0;
    this.#d = (this.#d + 1) | 0;
    this.#a = this.#b ^ (this.#b >>> 9);
    this.#b = (this.#c + (this.#c << 3)) | 0;
    this.#c = ((this.#c << 21) | (this.#c >>> 11)) + sum;
    return (sum >>> 0) / 2 ** 32;
  }

  happens(share: number): boolean {
    return this.next() < share;
  }

  /** A whole number, both ends among them. */
  whole(from: number, to: number): number {
    return from + Math.floor(this.next() * (to - from + 1));
  }

  of<Item>(items: readonly Item[]): Item {
    const item = items[this.whole(0, items.length - 1)];
    if (item === undefined) throw new RangeError('there is nothing to choose from');
    return item;
  }

  bytes(count: number): Uint8Array {
    return Uint8Array.from({ length: count }, () => this.whole(0, 255));
  }
}

function mixed(text: string): [number, number, number, number] {
  let [a, b, c, d] = [1_779_033_703, 3_144_134_277, 1_013_904_242, 2_773_480_762];
  for (let index = 0; index < text.length; index += 1) {
    const code = text.charCodeAt(index);
    a = b ^ Math.imul(a ^ code, 597_399_067);
    b = c ^ Math.imul(b ^ code, 2_869_860_233);
    c = d ^ Math.imul(c ^ code, 951_274_213);
    d = a ^ Math.imul(d ^ code, 2_716_044_179);
  }
  return [a | 0, b | 0, c | 0, d | 0];
}
