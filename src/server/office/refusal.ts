import type { OfficeOptions, TextOption } from './order.ts';

/** What was asked cannot be done as it was asked: told to whoever typed it. */
export class Refusal extends Error {
  override readonly name = 'Refusal';
}

/** @throws Refusal naming the option that is missing */
export function needed(options: OfficeOptions, name: TextOption): string {
  const value = options[name];
  if (value === undefined || value === '') throw new Refusal(`--${name} is missing.`);
  return value;
}

/** @throws Refusal where the option is no whole number from 1 to `most` */
export function wholeNumber(
  options: OfficeOptions,
  name: TextOption,
  otherwise: number,
  most: number,
): number {
  const value = options[name] === undefined ? otherwise : Number(options[name]);
  if (!Number.isInteger(value) || value < 1 || value > most) {
    throw new Refusal(`--${name}: a whole number from 1 to ${most}.`);
  }
  return value;
}

/** @throws Refusal where the option is none of `allowed` */
export function oneOf<const Word extends string>(
  options: OfficeOptions,
  name: TextOption,
  allowed: readonly Word[],
  otherwise: Word,
): Word {
  const said = options[name] ?? otherwise;
  const word = allowed.find((candidate) => candidate === said);
  if (word === undefined) throw new Refusal(`--${name}: one of ${allowed.join(', ')}.`);
  return word;
}
