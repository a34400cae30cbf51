/**
 * The check character of ISO/IEC 7064 MOD 37,36 (hybrid system, one check character out of 0-9A-Z).
 *
 * It finds every single wrong character and nearly every pair of neighbours swapped; a few swaps of
 * neighbouring values (4/5, Q/R) pass, so a symbol that scans but names an unknown pair is still asked about.
 */
const VALUES = '0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ';
const MODULUS = VALUES.length;

/**
 * The check character for `body`.
 * @param body one or more characters of 0-9A-Z, upper case
 * @throws RangeError when a character is outside 0-9A-Z: callers match a grammar first
 */
export function checkCharacter(body: string): string {
  let product = MODULUS;
  for (const character of body) product = afterCharacter(product, character);
  return lastOf(product);
}

/**
 * Every check character that some body can have.
 * @param places the characters that the body may have at each place, each of 0-9A-Z
 */
export function checkCharactersOf(places: readonly string[]): ReadonlySet<string> {
  let products = new Set([MODULUS]);
  for (const allowed of places) {
    products = new Set(
      [...products].flatMap((product) => [...allowed].map((one) => afterCharacter(product, one))),
    );
  }
  return new Set([...products].map(lastOf));
}

function afterCharacter(product: number, character: string): number {
  const sum = (product + valueIn37(character)) % MODULUS || MODULUS;
  return (sum * 2) % (MODULUS + 1);
}

function lastOf(product: number): string {
  return VALUES.charAt((MODULUS + 1 - product) % MODULUS);
}

/** Whether the last character of `text` is the check character of what stands before it. */
export function checkHolds(text: string): boolean {
  return text.length > 1 && checkCharacter(text.slice(0, -1)) === text.slice(-1);
}

function valueIn37(character: string): number {
  const value = VALUES.indexOf(character);
  if (value < 0) throw new RangeError(`no value in ISO/IEC 7064 MOD 37,36 for ${JSON.stringify(character)}`);
  return value;
}
