/** `npm run restore -- …`: see RESTORE_USAGE in `backup/command.ts`. */
import { restoreCommand } from '../backup/command.ts';
import { runCopyCommand } from '../backup/run-command.ts';

await runCopyCommand(restoreCommand);
