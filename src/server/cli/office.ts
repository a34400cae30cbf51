/** `npm run office -- …`: see `office/command.ts`. */
import { randomBytes } from 'node:crypto';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { openLedger } from '../ledger/open-ledger.ts';
import { StoreFault } from '../ledger/store-fault.ts';
import { officeCommand } from '../office/command.ts';
import { SettingsFault, settingsFrom, storeOf } from '../settings.ts';

try {
  const settings = settingsFrom(process.env);
  const store = storeOf(settings);
  if (store.is === 'sqlite' && !existsSync(store.file)) {
    throw new SettingsFault(`There is no ledger in ${settings.data}. Start the server first.`);
  }
  const ledger = await openLedger(store, 'waxend office');
  const outcome = await officeCommand(process.argv.slice(2), {
    ledger,
    random: (bytes) => randomBytes(bytes),
    now: Date.now(),
    // Readable by its owner alone: a badge or a set-up card is as good as a key.
    read: (path) => readFileSync(path, 'utf8'),
    write: (path, text) => writeFileSync(path, text, { mode: 0o600 }),
  });
  await ledger.close();
  (outcome.exitCode === 0 ? console.log : console.error)(outcome.says);
  process.exitCode = outcome.exitCode;
} catch (fault) {
  if (!(fault instanceof SettingsFault || fault instanceof StoreFault)) throw fault;
  console.error(fault.message);
  process.exitCode = 2;
}
