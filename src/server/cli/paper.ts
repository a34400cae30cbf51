/** `npm run paper -- …`: see PAPER_USAGE. Writes one HTML file; exit code 2 for bad input. */
import { readFileSync, writeFileSync } from 'node:fs';
import { paperCommand } from '../paper/command.ts';

const outcome = paperCommand(process.argv.slice(2), {
  read: (path) => readFileSync(path, 'utf8'),
  write: (path, text) => writeFileSync(path, text),
});
if (outcome.exitCode === 0) console.log(outcome.says);
else console.error(outcome.says);
process.exitCode = outcome.exitCode;
