/** How much script a tablet must fetch before the bench page works. */
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { parseSync } from 'vite';
import { type Figure, round } from './figure.ts';

const BUDGET_KB = 60;
const BYTES_A_KB = 1_000;
/** Chunk of the scanner: read before the page is drawn, and counted apart. */
const SCANNER = /\/scan-[\w-]+\.js$/;

/** @param pages the built app */
export async function firstLoad(pages: string): Promise<Figure> {
  const sizes = await staticScripts(pages);
  const kb = (ofScanner: boolean) =>
    round(
      [...sizes].reduce((sum, [path, bytes]) => (SCANNER.test(path) && !ofScanner ? sum : sum + bytes), 0) /
        BYTES_A_KB,
    );
  if (![...sizes.keys()].some((path) => SCANNER.test(path))) throw new Error('the scanner has no chunk');
  return {
    unit: 'kB',
    values: { js_gzip_kb: kb(false), withScanner_gzip_kb: kb(true) },
    budget: { js_gzip_kb: BUDGET_KB },
    baseline: null,
    runs: 1,
    how:
      `${sizes.size} files: what index.html starts or preloads and what that imports, each by gzip -9, ` +
      'kB of 1,000 bytes. Left out: what is imported on demand (desk, decoders, reminders), workers, service worker.',
  };
}

/** Bytes by gzip -9 of each script that index.html needs at once, by its address. */
async function staticScripts(pages: string): Promise<ReadonlyMap<string, number>> {
  const html = await readFile(join(pages, 'index.html'), 'utf8');
  const sizes = new Map<string, number>();
  const todo = [...html.matchAll(/(?:src|href)="(\/[^"]+\.js)"/g)].map((match) => match[1] ?? '');
  for (let path = todo.pop(); path !== undefined; path = todo.pop()) {
    if (sizes.has(path)) continue;
    const script = await readFile(join(pages, path));
    sizes.set(path, gzipSync(script, { level: 9 }).length);
    todo.push(...importsOf(path, script.toString('utf8')));
  }
  if (sizes.size === 0) throw new Error('index.html starts no script');
  return sizes;
}

function importsOf(path: string, script: string): readonly string[] {
  const { staticImports, staticExports } = parseSync(path, script).module;
  const sources = [
    ...staticImports.map(({ moduleRequest }) => moduleRequest.value),
    ...staticExports.flatMap(({ entries }) => entries.flatMap((entry) => entry.moduleRequest?.value ?? [])),
  ];
  return sources.map((source) => new URL(source, `file://${path}`).pathname);
}
