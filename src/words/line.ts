/** What the bar says: what is so, then what to do. */
export interface Line {
  readonly says: string;
  readonly next: string;
}

/** A line begins as a sentence does, whatever somebody typed. */
export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
