/** A disk so small that it fills up, or one that takes nothing: memory mounted as one, where that is allowed. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

export interface SmallDisk {
  readonly folder: string;
  enlarge(megabytes: number): void;
  readOnly(is: boolean): void;
  close(): void;
}

/** Null where nothing may be mounted, which is so for all but root, and for root in some containers. */
export function smallDisk(megabytes: number): SmallDisk | null {
  if (process.getuid?.() !== 0) return null;
  const folder = mkdtempSync(join(tmpdir(), 'waxend-disk-'));
  const mount = (...args: string[]) => spawnSync('mount', args, { stdio: 'ignore' }).status === 0;
  if (!mount('-t', 'tmpfs', '-o', `size=${megabytes}m`, 'tmpfs', folder)) {
    rmSync(folder, { recursive: true });
    return null;
  }
  const remount = (option: string) => {
    if (!mount('-o', `remount,${option}`, folder)) throw new Error(`the disk could not be made ${option}`);
  };
  return {
    folder,
    enlarge: (to) => remount(`size=${to}m`),
    readOnly: (is) => remount(is ? 'ro' : 'rw'),
    close: () => {
      spawnSync('umount', ['--lazy', folder], { stdio: 'ignore' });
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** Whether a running process can be told how long its files may be. */
export const hasQuota = spawnSync('prlimit', ['--version'], { stdio: 'ignore' }).status === 0;

/** From now on the process cannot write into a file beyond `bytes`; null takes that back. */
export function quota(pid: number, bytes: number | null): void {
  const limit = `--fsize=${bytes ?? 'unlimited'}:unlimited`;
  const { status, stderr } = spawnSync('prlimit', ['--pid', String(pid), limit]);
  if (status !== 0) throw new Error(`prlimit: ${stderr}`);
}
