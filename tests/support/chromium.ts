/** How the browser tests start Chromium: the one that is installed, quiet, and with a film for a camera. */
import { mkdtemp } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

export const EXECUTABLE = process.env.CHROMIUM ?? '/usr/bin/chromium';

export const ARGS = [
  '--no-sandbox',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
  '--no-first-run',
];

/** Plays the film in place of a camera, over and over, from its start whenever the camera is started. */
export const withFilm = (film: string): readonly string[] => [
  '--use-fake-device-for-media-stream',
  '--use-fake-ui-for-media-stream',
  `--use-file-for-fake-video-capture=${film}`,
];

/** A folder for a browser's profile or for films. */
export const newFolder = (): Promise<string> => mkdtemp(join(tmpdir(), 'tablet-'));
