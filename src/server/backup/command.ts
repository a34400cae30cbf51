/** The backup and restore commands. A copy counts only once it has been opened and says what the ledger says. */
import { existsSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import * as z from 'zod';
import { asSiteId } from '../../domain/ids.ts';
import type { Instant } from '../../domain/instant.ts';
import { copiesOf } from '../ledger/copies-of.ts';
import { nameOf, openLedger, type Store } from '../ledger/open-ledger.ts';
import type { SqlLedger } from '../ledger/sql-ledger.ts';
import { StoreFault } from '../ledger/store-fault.ts';
import { newEpoch } from '../new-site.ts';
import { differences, figuresOf, lookingAt, type SiteFigures, siteFiguresSchema } from './figures.ts';

export const BACKUP_USAGE = `Copies the ledger into a file, while servers write it, and holds the copy against the ledger.

  npm run backup -- --out FILE
      writes FILE and, beside it, FILE.figures.json: what the copy says, for the restore to be held against
`;
export const RESTORE_USAGE = `Puts a copy back as the ledger, with all servers stopped, and begins a new epoch: every
tablet then offers again what it has, and reads from the start.

  npm run restore -- --from FILE [--replace]
      --replace where there is a ledger already; an embedded one is set aside beside the new one
`;

export interface CopyDesk {
  readonly store: Store;
  readonly now: Instant;
  readonly random: (bytes: number) => Uint8Array;
}

/** What is said, and the exit code: 0 done, 1 done but not the same, 2 not done. */
export interface CopyOutcome {
  readonly exitCode: 0 | 1 | 2;
  readonly says: string;
}

export async function backUpCommand(args: readonly string[], desk: CopyDesk): Promise<CopyOutcome> {
  const { out } = optionsIn(args, { out: { type: 'string' } });
  if (typeof out !== 'string') return { exitCode: 2, says: BACKUP_USAGE };
  if (existsSync(out)) return { exitCode: 2, says: `There is a file ${out} already.` };
  const copies = copiesOf(desk.store);
  // Under its name only when it is whole: whoever carries copies away never takes half of one.
  const part = `${out}.part`;
  rmSync(part, { force: true });
  await copies.take(part);
  const copy = await copies.open(part);
  const original = await openLedger(desk.store, 'waxend office');
  try {
    const figures: SiteFigures[] = [];
    const faults: string[] = [];
    for (const site of await copy.ledger.sites()) {
      const looking = await lookingAt(copy.ledger, site, desk.now);
      const ofCopy = await figuresOf(copy.ledger, site, looking);
      figures.push(ofCopy);
      faults.push(
        ...differences(ofCopy, await figuresOf(original, site, looking)).map((line) => `${site}: ${line}`),
      );
      if (ofCopy.photos.broken > 0)
        faults.push(`${site}: ${ofCopy.photos.broken} photographs with other bytes`);
    }
    writeFileSync(`${out}.figures.json`, `${JSON.stringify(figures, null, 2)}\n`, { mode: 0o600 });
    renameSync(part, out);
    const lines = figures.map(lineOf);
    if (faults.length > 0)
      return { exitCode: 1, says: [`${out} differs from the ledger:`, ...faults].join('\n') };
    return { exitCode: 0, says: [`${out} holds what ${nameOf(desk.store)} holds:`, ...lines].join('\n') };
  } finally {
    await original.close();
    await copy.close();
  }
}

export async function restoreCommand(args: readonly string[], desk: CopyDesk): Promise<CopyOutcome> {
  const { from, replace } = optionsIn(args, { from: { type: 'string' }, replace: { type: 'boolean' } });
  if (typeof from !== 'string') return { exitCode: 2, says: RESTORE_USAGE };
  const expected = figuresBeside(from);
  await copiesOf(desk.store).putBack(from, replace === true);
  const ledger = await openLedger(desk.store, 'waxend office');
  try {
    // Before the new epoch: what tablets had seen counts in the order of records, and does so within one epoch alone.
    const { lines, faults } = await heldAgainst(ledger, expected, desk.now);
    for (const site of await ledger.sites()) await ledger.startEpoch(site, newEpoch(desk.random));
    const epoch = 'A new epoch has begun: every tablet offers its records again, and reads from the start.';
    if (faults.length > 0) {
      return {
        exitCode: 1,
        says: [`The ledger differs from when ${from} was written:`, ...faults, epoch].join('\n'),
      };
    }
    const checked =
      expected === null
        ? `${from} is the ledger now. There is no ${from}.figures.json to hold it against:`
        : `${from} is the ledger now, and says what it said when it was written:`;
    return { exitCode: 0, says: [checked, ...lines, epoch].join('\n') };
  } finally {
    await ledger.close();
  }
}

async function heldAgainst(ledger: SqlLedger, expected: readonly SiteFigures[] | null, now: Instant) {
  const lines: string[] = [];
  const faults: string[] = [];
  const sites = await ledger.sites();
  for (const site of sites) {
    const before = expected?.find((one) => one.site === site);
    const looking = await lookingAt(ledger, site, before?.at ?? now);
    const figures = await figuresOf(ledger, site, looking);
    lines.push(lineOf(figures));
    if (before !== undefined) faults.push(...differences(figures, before).map((line) => `${site}: ${line}`));
    if (figures.photos.broken > 0)
      faults.push(`${site}: ${figures.photos.broken} photographs with other bytes`);
  }
  for (const { site } of expected ?? []) {
    if (!sites.includes(asSiteId(site))) faults.push(`${site}: is not here`);
  }
  return { lines, faults };
}

function lineOf({ site, head, pairs, desk, photos }: SiteFigures): string {
  return `  ${site}: ${head} records, ${pairs} pairs folded, ${desk.pairsOpen} of them open at the desk, ${photos.whole} photographs`;
}

function figuresBeside(file: string): readonly SiteFigures[] | null {
  const beside = `${file}.figures.json`;
  if (!existsSync(beside)) return null;
  return z.array(siteFiguresSchema).parse(JSON.parse(readFileSync(beside, 'utf8')));
}

function optionsIn(
  args: readonly string[],
  options: Readonly<Record<string, { type: 'string' | 'boolean' }>>,
): Record<string, string | boolean | undefined> {
  try {
    return parseArgs({ args: [...args], options, strict: true }).values as Record<string, string | boolean>;
  } catch (cause) {
    throw new StoreFault(cause instanceof Error ? cause.message : String(cause), { cause });
  }
}
