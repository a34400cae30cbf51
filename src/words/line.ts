/** What the bar says: what is so, then what to do. */
export interface Line {
  readonly says: string;
  readonly next: string;
}

/** A line begins as a sentence does, whatever somebody typed; and nothing typed turns round what is said after it. */
export function capital(text: string): string {
  const plain = text.replace(/\p{Bidi_Control}/gu, '');
  return plain.charAt(0).toUpperCase() + plain.slice(1);
}
