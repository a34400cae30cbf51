/** Runs a command on the ledger that the environment names, and says what came of it. */
import { randomBytes } from 'node:crypto';
import { StoreFault } from '../ledger/store-fault.ts';
import { SettingsFault, settingsFrom, storeOf } from '../settings.ts';
import type { CopyDesk, CopyOutcome } from './command.ts';

type Command = (args: readonly string[], desk: CopyDesk) => Promise<CopyOutcome>;

export async function runCopyCommand(command: Command): Promise<void> {
  // Names of people are in a copy: whatever is written here, nobody else on this machine reads it.
  process.umask(0o077);
  const { exitCode, says } = await outcomeOf(command);
  (exitCode === 0 ? process.stdout : process.stderr).write(`${says}\n`);
  process.exitCode = exitCode;
}

async function outcomeOf(command: Command): Promise<CopyOutcome> {
  try {
    const store = storeOf(settingsFrom(process.env));
    return await command(process.argv.slice(2), {
      store,
      now: Date.now(),
      random: (bytes) => randomBytes(bytes),
    });
  } catch (fault) {
    if (!(fault instanceof SettingsFault || fault instanceof StoreFault)) throw fault;
    return { exitCode: 2, says: fault.message };
  }
}
