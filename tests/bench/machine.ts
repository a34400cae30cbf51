/** On what and from what a run was made. */
import { execFileSync } from 'node:child_process';
import { cpus, loadavg, totalmem } from 'node:os';
import { fileURLToPath } from 'node:url';
import { round } from './figure.ts';
import { CHROMIUM } from './tablet.ts';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const GIB = 2 ** 30;

export function machine() {
  return {
    cpu: cpus()[0]?.model ?? 'unknown',
    cores: cpus().length,
    memoryGb: round(totalmem() / GIB),
    node: process.versions.node,
    chromium: said(CHROMIUM, '--version')?.replace(/^\D+/, '') ?? 'unknown',
  };
}

/** The commit that the sources stand at, `+changes` where they differ from it; null outside a repository. */
export function commit(): string | null {
  const id = said('git', '-C', ROOT, 'rev-parse', '--short', 'HEAD');
  if (id === null) return null;
  return said('git', '-C', ROOT, 'status', '--porcelain') === '' ? id : `${id}+changes`;
}

/** How many programs wanted the processor over the last minute: above the number of cores, a run is not to be believed. */
export function load(): number {
  return round(loadavg()[0] ?? Number.NaN);
}

function said(command: string, ...words: readonly string[]): string | null {
  try {
    return execFileSync(command, words, { encoding: 'utf8', stdio: ['ignore', 'pipe', 'ignore'] }).trim();
  } catch {
    // Not there, or no repository: the report says so.
    return null;
  }
}
