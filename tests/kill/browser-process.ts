/** A Chromium that nothing drives, so that nothing has to be told when it is killed: it opens a page, which may
 * open further windows, and that is all. */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { setTimeout as pause } from 'node:timers/promises';
import { ARGS, EXECUTABLE } from '../support/chromium.ts';

const LOOK_EVERY_MS = 20;
const DEAD_MS = 10_000;

export interface BrowserProcess {
  /** Rejects when the browser ends without having been killed. */
  readonly fell: Promise<never>;
  /** SIGKILL to the browser with all its children: nothing gets a chance to write anything. */
  kill(): Promise<void>;
}

export function openBrowser(profile: string, page: string): BrowserProcess {
  const browser = spawn(
    EXECUTABLE,
    ['--headless=new', ...ARGS, '--disable-popup-blocking', `--user-data-dir=${profile}`, page],
    // A process group of its own: killing it takes the browser's children along and nothing else.
    { detached: true, stdio: 'ignore' },
  );
  const group = browser.pid;
  if (group === undefined) throw new Error(`${EXECUTABLE} could not be started`);
  let killed = false;
  const ended = once(browser, 'exit');
  const fell = ended.then(async ([code]): Promise<never> => {
    if (!killed) throw new Error(`the browser ended by itself with ${code}`);
    return new Promise<never>(() => undefined);
  });
  fell.catch(() => undefined);
  return {
    fell,
    async kill() {
      killed = true;
      endGroup(group);
      await ended;
      for (let waited = 0; isAlive(group); waited += LOOK_EVERY_MS) {
        if (waited > DEAD_MS) throw new Error(`process group ${group} lives on`);
        await pause(LOOK_EVERY_MS);
      }
    },
  };
}

function endGroup(group: number): void {
  try {
    process.kill(-group, 'SIGKILL');
  } catch {
    // It has ended already.
  }
}

function isAlive(group: number): boolean {
  try {
    process.kill(-group, 0);
    return true;
  } catch {
    return false;
  }
}
