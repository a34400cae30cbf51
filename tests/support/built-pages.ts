/** The built pages in `dist`: what is in them, and a copy that differs, as the next version would. */
import { cp, readdir, readFile, writeFile } from 'node:fs/promises';
import { join, relative, sep } from 'node:path';
import { fileURLToPath } from 'node:url';

const DIST = fileURLToPath(new URL('../../dist', import.meta.url));

/** Addresses of everything that a bench needs, so without the service worker's own script and the maps for developers. */
export async function neededPaths(): Promise<readonly string[]> {
  const entries = await readdir(DIST, { recursive: true, withFileTypes: true });
  return entries
    .filter((entry) => entry.isFile())
    .map((entry) => `/${relative(DIST, join(entry.parentPath, entry.name)).split(sep).join('/')}`)
    .filter((path) => path !== '/sw.js' && !path.endsWith('.map'))
    .toSorted();
}

export function copyPages(folder: string): Promise<void> {
  return cp(DIST, folder, { recursive: true });
}

/** Makes the copy the next version: its page says so, and its service worker lists the changed page. */
export async function makeNextVersion(folder: string, name: string): Promise<void> {
  await rewrite(
    join(folder, 'index.html'),
    /<head>/,
    `<head>\n    <meta name="version" content="${name}" />`,
  );
  const entry = /(\{"revision":")[0-9a-f]+(","url":"index\.html"\})/;
  await rewrite(join(folder, 'sw.js'), entry, `$1${name}$2`);
}

async function rewrite(file: string, from: RegExp, to: string): Promise<void> {
  const text = await readFile(file, 'utf8');
  if (!from.test(text)) throw new Error(`${file} has nothing like ${from}`);
  await writeFile(file, text.replace(from, to));
}
