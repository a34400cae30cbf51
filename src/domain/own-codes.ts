/** What codes of ours are made of; `code.ts` reads and issues them. */
import type { OneShoe } from './record/kind.ts';

/** 26 characters that hands and eyes keep apart on a dusty ticket. */
export const ALPHABET = '0123456789ACEFHJKMNPRTVWXY';

export type CodeKind = 'ticket' | 'badge' | 'bench' | 'rack';

interface Format {
  readonly kind: CodeKind;
  readonly letter: string;
  readonly serialLength: number;
}

export const FORMATS: readonly Format[] = [
  { kind: 'ticket', letter: 'P', serialLength: 6 },
  { kind: 'badge', letter: 'H', serialLength: 18 },
  { kind: 'bench', letter: 'W', serialLength: 10 },
  { kind: 'rack', letter: 'R', serialLength: 6 },
];

/** The last letter of a shoe's own tag. */
export const SHOE_LETTERS: Readonly<Record<string, OneShoe>> = { L: 'left', R: 'right' };
