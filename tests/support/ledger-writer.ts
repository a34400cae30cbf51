/** A process of its own that writes records into a ledger, in a file or at an address, and says after each batch how far it was confirmed. */
import { asBenchId } from '../../src/domain/ids.ts';
import { openLedger } from '../../src/server/ledger/open-ledger.ts';
import { handAt, MONDAY_8, SITE } from './builders.ts';

const [where = '', name = '', count = '0'] = process.argv.slice(2);
const bench = asBenchId(name);
const ledger = await openLedger(
  where.startsWith('postgres:') ? { is: 'postgres', url: where } : { is: 'sqlite', file: where },
  'waxend server',
);
const hand = handAt(bench);
for (let written = 0; written < Number(count); ) {
  const records = [hand.write('badged-on'), hand.write('clocked-in'), hand.write('set-aside')];
  const answers = await ledger.append({ site: SITE, bench, place: 'bench' }, records, MONDAY_8);
  if (answers.some(({ answer }) => answer !== 'stored')) throw new Error(JSON.stringify(answers));
  written += records.length;
  console.log(written);
  // Other processes must come between, or the test shows nothing.
  await new Promise((resolve) => setImmediate(resolve));
}
await ledger.close();
