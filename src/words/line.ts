/** What the bar says: what is so, then what to do. */
export interface Line {
  readonly says: string;
  readonly next: string;
}
