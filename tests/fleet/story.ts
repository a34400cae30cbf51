/** What happened in a run: every step for comparing two runs, and of these the ones that a person wants to read. */

interface Line {
  readonly at: number;
  readonly who: string;
  readonly what: string;
  readonly told: boolean;
}

export class Story {
  readonly #begin: number;
  readonly #now: () => number;
  readonly #lines: Line[] = [];

  constructor(now: () => number) {
    this.#now = now;
    this.#begin = now();
  }

  /** Something that a reader of the story wants to know. */
  tell(who: string, what: string): void {
    this.#lines.push({ at: this.#now(), who, what, told: true });
  }

  /** A step that only tells one run from another. */
  note(who: string, what: string): void {
    this.#lines.push({ at: this.#now(), who, what, told: false });
  }

  /** Every step. */
  get trace(): string {
    return this.#lines.map((line) => this.#inWords(line)).join('\n');
  }

  get told(): readonly string[] {
    return this.#lines.filter(({ told }) => told).map((line) => this.#inWords(line));
  }

  /** Days, hours, minutes, seconds and milliseconds from the beginning, who, and what. */
  #inWords({ at, who, what }: Line): string {
    const ms = Math.round(at - this.#begin);
    const parts = [ms / 86_400_000, (ms / 3_600_000) % 24, (ms / 60_000) % 60, (ms / 1000) % 60];
    const [days, ...rest] = parts.map((part) => String(Math.floor(part)).padStart(2, '0'));
    return `${days}d ${rest.join(':')}.${String(ms % 1000).padStart(3, '0')}  ${who.padEnd(12)} ${what}`;
  }
}
