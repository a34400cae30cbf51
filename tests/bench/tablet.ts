/** The tablet: a real Chromium with a profile that outlives it, made as slow as a tablet is. */
import { fileURLToPath } from 'node:url';
import { chromium, type Page } from 'playwright';
import { build } from 'vite';

export const CHROMIUM = process.env.CHROMIUM ?? '/usr/bin/chromium';
const ARGS = [
  '--no-sandbox',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
  '--no-first-run',
];
const VIEWPORT = { width: 1280, height: 800 };

/**
 * How much slower a cheap tablet's processor is: common practice, no source. It slows the page's thread; the store, the
 * disk and the service worker are as quick as this machine.
 */
export const SLOW_DOWN = 4;

export interface PageSettings {
  /** Times slower than this machine. */
  readonly slowDown?: number;
  /** A script that is there before the page's own. */
  readonly probe?: string;
}

/** Starts the browser on `profile`, opens one page for `work`, and ends the browser. */
export async function onTablet<Result>(
  profile: string,
  { slowDown = 1, probe = '' }: PageSettings,
  work: (page: Page) => Promise<Result>,
): Promise<Result> {
  const context = await chromium.launchPersistentContext(profile, {
    executablePath: CHROMIUM,
    args: ARGS,
    viewport: VIEWPORT,
  });
  try {
    const page = context.pages()[0] ?? (await context.newPage());
    const devtools = await context.newCDPSession(page);
    await devtools.send('Emulation.setCPUThrottlingRate', { rate: slowDown });
    await page.addInitScript({ content: probe });
    return await work(page);
  } finally {
    await context.close();
  }
}

/** Bundles a probe from the sources: functions that are handed to a page singly cannot use anything else of ours. */
export async function bundled(probe: URL): Promise<string> {
  const built = await build({
    configFile: false,
    logLevel: 'error',
    publicDir: false,
    build: {
      write: false,
      target: 'es2022',
      lib: { entry: fileURLToPath(probe), formats: ['iife'], name: 'bundledProbe' },
    },
  });
  const outputs = (Array.isArray(built) ? built : [built]).flatMap((part) =>
    'output' in part ? part.output : [],
  );
  const [script] = outputs.filter((output) => output.type === 'chunk' && output.isEntry);
  if (script?.type !== 'chunk') throw new Error(`${probe.href} gave no script`);
  return script.code;
}
