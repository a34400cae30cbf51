/** Puts the demo's workshop into an empty server ledger, as its tablets would have done. */
import { randomBytes, randomUUID } from 'node:crypto';
import { writeFile } from 'node:fs/promises';
import { codeHash } from '../src/domain/code-hash.ts';
import type { ServerLedger } from '../src/server/ledger/ledger.ts';
import { demoPaper, SETUP_VALID_MS } from './demo-paper.ts';
import type { Workshop } from './records.ts';
import { SITE_ID } from './workshop.ts';

/** A set-up code of the demo may be tried on many tablets. */
const SETUP_USES = 500;

export interface Seeding {
  readonly ledger: ServerLedger;
  readonly workshop: Workshop;
}

/**
 * Site, book, benches, set-up codes and records. The tablets that made the records keep keys that nobody has;
 * whoever tries the demo sets up tablets of their own with the codes.
 * @throws Error when the site is in the ledger already, or when the ledger does not take every record
 */
export async function seedDemo({ ledger, workshop }: Seeding): Promise<void> {
  const { book, calendar, epoch } = workshop;
  await ledger.createSite({ book: { ...book, benches: [] }, calendar, dataset: randomUUID(), epoch });
  await enterBenches({ ledger, workshop });
  await bringRecords({ ledger, workshop });
}

/** Writes the page to print to `file`. */
export async function writeDemoPaper(file: string, workshop: Workshop): Promise<void> {
  await writeFile(file, demoPaper(workshop), 'utf8');
}

/** In the order of their lanes, which the ledger gives out one by one. */
async function enterBenches({ ledger, workshop }: Seeding): Promise<void> {
  const { benches, endsAt: now } = workshop;
  for (const { bench, lane, name, place, stages, setupToken } of benches) {
    const hash = codeHash(setupToken);
    await ledger.addSetUpCode(SITE_ID, {
      hash,
      name,
      place,
      stages,
      until: now + SETUP_VALID_MS,
      uses: SETUP_USES,
    });
    const keyHash = codeHash(randomBytes(32).toString('hex'));
    const enrolled = await ledger.enrol({ codeHash: hash, keyHash, bench, persisted: true, now });
    if (enrolled.is !== 'enrolled') throw new Error(`${bench} could not be set up: ${enrolled.is}`);
    if (enrolled.entry.lane !== lane)
      throw new Error(`${bench} has lane ${enrolled.entry.lane}, not ${lane}`);
  }
}

async function bringRecords({ ledger, workshop }: Seeding): Promise<void> {
  for (const { bench, receivedAt, records } of workshop.batches) {
    const writer = { site: SITE_ID, bench: bench.bench, place: bench.place };
    const answers = await ledger.append(writer, records, receivedAt);
    const refused = answers.find(({ answer }) => answer !== 'stored');
    if (refused !== undefined)
      throw new Error(`record ${refused.id} was not taken: ${refused.answer}, ${refused.reasons.join('; ')}`);
  }
}
