// What a fresh clone needs before anything else can run: Node's version, the packages, and for tests a browser.
// Plain JavaScript without packages, since it runs before there are any.
import { spawnSync } from 'node:child_process';
import { accessSync, constants, existsSync, statSync } from 'node:fs';
import { delimiter, join } from 'node:path';
import { fileURLToPath } from 'node:url';

export const root = fileURLToPath(new URL('..', import.meta.url));

/** Runs a command in the project's folder, its output on ours; returns its exit code. */
export function run(command, args, options = {}) {
  const { status, error } = spawnSync(command, args, { cwd: root, stdio: 'inherit', ...options });
  if (error) console.error(`${command}: ${error.message}`);
  return status ?? 1;
}

/** As `run`, but ends the program with a plain word when the command fails. */
export function must(what, command, args, options) {
  const status = run(command, args, options);
  if (status !== 0) stop(`${what} did not work (${command} ${args.join(' ')} ended with ${status}).`, status);
}

export function stop(message, status = 1) {
  console.error(`\n${message}`);
  process.exit(status);
}

export function needsNode() {
  const [major = 0, minor = 0] = process.versions.node.split('.').map(Number);
  if (major < 20 || (major === 20 && minor < 19))
    stop(`Node 20.19 or newer is needed; this is ${process.versions.node}.`);
}

/** Installs the packages where they are missing or older than the lock file. */
export function needsPackages() {
  const installed = join(root, 'node_modules/.package-lock.json');
  const locked = join(root, 'package-lock.json');
  if (existsSync(installed) && statSync(installed).mtimeMs >= statSync(locked).mtimeMs) return;
  console.log('Installing the packages (about a minute) …');
  must('Installing the packages', 'npm', ['ci']);
}

/** Builds the app where there is no build, or one older than what it is made from. */
export function needsBuild() {
  const built = join(root, 'dist/index.html');
  if (existsSync(built) && newest(join(root, 'src')) <= statSync(built).mtimeMs) return;
  console.log('Building the app …');
  must('Building the app', 'npx', ['vite', 'build', '--logLevel', 'warn']);
}

function newest(folder) {
  const { stdout } = spawnSync(
    'find',
    [folder, 'vite.config.ts', 'public', '-type', 'f', '-printf', '%T@\n'],
    { cwd: root, encoding: 'utf8' },
  );
  return Math.max(...(stdout || '').split('\n').map(Number).filter(Number.isFinite), 0) * 1000;
}

const onPath = (name) =>
  (process.env.PATH ?? '')
    .split(delimiter)
    .map((folder) => join(folder, name))
    .find((file) => {
      try {
        accessSync(file, constants.X_OK);
        return true;
      } catch {
        return false;
      }
    });

export function chromiumPath() {
  return (
    process.env.CHROMIUM ||
    ['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable'].map(onPath).find(Boolean)
  );
}

/** Debian packages that the tests use as independent witnesses, and the command that tells whether each is there. */
const WITNESSES = {
  ffmpeg: 'ffmpeg',
  zint: 'zint',
  qrencode: 'qrencode',
  'dmtx-utils': 'dmtxread',
  'zbar-tools': 'zbarimg',
  imagemagick: 'convert',
  sqlite3: 'sqlite3',
  'libxml2-utils': 'xmllint',
  'poppler-utils': 'pdftotext',
};

/** Chromium and the independent encoders and decoders: installed by apt where that is allowed, named where not. */
export function needsTestTools() {
  const missing = Object.entries(WITNESSES)
    .filter(([, command]) => !onPath(command))
    .map(([name]) => name);
  if (!chromiumPath()) missing.unshift('chromium');
  if (missing.length === 0) return;
  const mayInstall = process.getuid?.() === 0 && onPath('apt-get');
  const install = `apt-get install -y ${missing.join(' ')}`;
  if (!mayInstall) {
    stop(
      `The tests need: ${missing.join(', ')}.\nInstall them (on Debian: sudo ${install}), or set CHROMIUM to a browser's path, then run npm test again.`,
    );
  }
  if (!installed(missing)) stop(`Installing the test tools did not work (${install}).`);
}

/**
 * PostgreSQL from Debian's package, where it is not here and may be installed. Its tests are left out without it, so
 * nothing is stopped.
 * @param isHere looks whether its programs are on this machine
 */
export function wantsPostgres(isHere) {
  if (isHere() || process.getuid?.() !== 0 || !onPath('apt-get')) return;
  installed(['postgresql']);
}

/** Installs Debian packages; false where that does not work. */
function installed(names) {
  console.log(`Installing from Debian: ${names.join(', ')} …`);
  run('apt-get', ['update', '-qq'], { stdio: ['ignore', 'ignore', 'inherit'] });
  const status = run('apt-get', ['install', '-y', '-qq', '--no-install-recommends', ...names], {
    stdio: ['ignore', 'ignore', 'inherit'],
    env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' },
  });
  return status === 0;
}
