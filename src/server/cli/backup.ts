/** `npm run backup -- …`: see BACKUP_USAGE in `backup/command.ts`. */
import { backUpCommand } from '../backup/command.ts';
import { runCopyCommand } from '../backup/run-command.ts';

await runCopyCommand(backUpCommand);
