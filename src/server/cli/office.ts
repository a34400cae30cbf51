/** `npm run office -- …`: see `office/command.ts`. */
import { randomBytes } from 'node:crypto';
import { existsSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { openSqliteLedger } from '../ledger/sqlite.ts';
import { officeCommand } from '../office/command.ts';
import { SettingsFault, settingsFrom } from '../settings.ts';

try {
  const { data } = settingsFrom(process.env);
  const file = join(data, 'ledger.sqlite');
  if (!existsSync(file)) throw new SettingsFault(`There is no ledger in ${data}. Start the server first.`);
  const ledger = await openSqliteLedger(file);
  const outcome = await officeCommand(process.argv.slice(2), {
    ledger,
    random: (bytes) => randomBytes(bytes),
    now: Date.now(),
    // Readable by its owner alone: a badge or a set-up card is as good as a key.
    write: (path, text) => writeFileSync(path, text, { mode: 0o600 }),
  });
  await ledger.close();
  (outcome.exitCode === 0 ? console.log : console.error)(outcome.says);
  process.exitCode = outcome.exitCode;
} catch (fault) {
  if (!(fault instanceof SettingsFault)) throw fault;
  console.error(fault.message);
  process.exitCode = 2;
}
