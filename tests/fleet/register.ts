/**
 * What is true, kept beside the run and by none of the parts in it: which records were made, which of them a screen
 * has shown as made, which may be lost because the only store that held them was taken away, and what was found wrong.
 */
import type { BenchId, RecordId } from '../../src/domain/ids.ts';

export interface Made {
  readonly id: RecordId;
  readonly bench: BenchId;
  readonly seq: number;
  /** As it stands in the store, byte for byte. */
  readonly json: string;
}

export class Register {
  /** Written to a tablet's store, whatever the screen came to say. */
  readonly made = new Map<string, Made>();
  /** Shown as made: `commit` has resolved in an app that was running. */
  readonly shown = new Set<string>();
  /** The only store that held them was set back or put out of use, or the server forgot them too. */
  readonly mayBeLost = new Set<string>();
  /** No records by any version: the server must refuse them, and the tablet keep them. */
  readonly bad = new Set<string>();
  readonly violations: string[] = [];

  violate(invariant: string, what: string): void {
    const text = `${invariant}: ${what}`;
    if (!this.violations.includes(text)) this.violations.push(text);
  }

  madeAt(bench: BenchId): readonly Made[] {
    return [...this.made.values()].filter((one) => one.bench === bench);
  }
}
