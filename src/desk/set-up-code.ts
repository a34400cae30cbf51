/** The set-up code that a person typed, pasted or brought in the address. */
import { type Code, classify } from '../domain/code.ts';

export type SetUpCode =
  | { readonly is: 'code'; readonly token: string }
  | { readonly is: 'other'; readonly code: Exclude<Code, { kind: 'bench' }> };

/** Benches and desks have codes of one form; only the server knows which of the two a code is for. */
export function readSetUpCode(text: string): SetUpCode {
  const code = classify(text, 'typed');
  return code.kind === 'bench' ? { is: 'code', token: code.token } : { is: 'other', code };
}

/** The text after `#setup=`, or null where the address brings none. */
export function codeInHash(hash: string): string | null {
  return new URLSearchParams(hash.replace(/^#/, '')).get('setup') || null;
}
