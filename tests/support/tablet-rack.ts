/** Opens tablets and desks for a test, sets them up, watches them, and puts all of them away at the end. */
import { rm } from 'node:fs/promises';
import { join } from 'node:path';
import { type Browser, type BrowserContext, chromium, type Page } from 'playwright/test';
import type { StageCode } from '../../src/domain/ids.ts';
import { WLT } from './builders.ts';
import { ARGS, EXECUTABLE, newFolder, withFilm } from './chromium.ts';
import type { Site } from './site.ts';
import { cameraFilm, drawSymbol, type Film, type SymbolToDraw } from './symbols.ts';
import { Tablet } from './tablet.ts';
import { watchFor } from './watch.ts';

export const LANDSCAPE = { width: 1280, height: 800 };
export const PORTRAIT = { width: 800, height: 1280 };

export interface Opening {
  readonly site: Site;
  /** Its bench's name; without one the tablet is not to be set up, or has been. */
  readonly name?: string;
  readonly stages?: readonly StageCode[];
  /** A folder that outlives the browser: opened with it again, it is a cold start of the same tablet. */
  readonly profile?: string;
  /** What its camera sees. Without a film there is no camera. */
  readonly film?: string;
  readonly offline?: boolean;
  /** How much it may keep in all, the app itself included. */
  readonly roomBytes?: number;
  readonly viewport?: { readonly width: number; readonly height: number };
  /** Runs in the page before the app. */
  readonly before?: () => void;
}

export class TabletRack {
  /** What `watch.ts` noticed. */
  readonly troubles: string[] = [];
  readonly #browser: Browser;
  readonly #contexts = new Set<BrowserContext>();
  readonly #folders: string[] = [];

  /** @param browser for tablets that need no profile and no film: a context each, which is quicker */
  constructor(browser: Browser) {
    this.#browser = browser;
  }

  /** A tablet at its bench, set up, with everybody's records on it. */
  async open(opening: Opening): Promise<Tablet> {
    const { site, name, stages = [WLT], before, roomBytes } = opening;
    const page = await this.#newPage(opening);
    if (before !== undefined) await page.addInitScript(before);
    const session = await page.context().newCDPSession(page);
    if (roomBytes !== undefined) {
      await session.send('Storage.overrideQuotaForOrigin', { origin: site.url, quotaSize: roomBytes });
    }
    const tablet = new Tablet(page, session);
    if (name === undefined) {
      await page.goto(`${site.url}/bench`);
      return tablet;
    }
    const code = await site.setUpCode(name, stages);
    // The first page of everybody's records comes in one answer, the sites being small.
    const pulled = page.waitForResponse((answer) => answer.url().includes('/api/pull') && answer.ok());
    await page.goto(`${site.url}/bench#setup=${code}`);
    await pulled;
    await tablet.allSent();
    return tablet;
  }

  async openDesk(site: Site, name: string, viewport = LANDSCAPE): Promise<Page> {
    const page = await this.#newPage({ site, viewport });
    const code = await site.setUpCode(name);
    await page.goto(`${site.url}/desk#setup=${code}`);
    await page.locator('.desk-stages').waitFor();
    return page;
  }

  async newFolder(): Promise<string> {
    const folder = await newFolder();
    this.#folders.push(folder);
    return folder;
  }

  /** A film of these symbols, each after some seconds of plain grey. */
  async film(symbols: readonly SymbolToDraw[], timing: Film): Promise<string> {
    // Uncompressed, since Chromium plays a file of bare JPEGs at a rate of its own.
    const file = join(await this.newFolder(), 'film.y4m');
    await cameraFilm(await Promise.all(symbols.map(drawSymbol)), file, { size: '640x360', ...timing });
    return file;
  }

  /** Ends the browser of a tablet that has a profile or a film of its own. */
  async shut({ context }: Tablet): Promise<void> {
    this.#contexts.delete(context);
    await context.close();
  }

  async putAway(): Promise<void> {
    await Promise.all([...this.#contexts].map((context) => context.close()));
    await Promise.all(this.#folders.map((folder) => rm(folder, { recursive: true, force: true })));
  }

  async #newPage({ site, profile, film, offline = false, viewport = LANDSCAPE }: Opening): Promise<Page> {
    const options = {
      viewport,
      offline,
      hasTouch: true,
      permissions: ['camera', 'clipboard-read', 'clipboard-write'],
      // A tablet's own time zone must not matter.
      timezoneId: 'Pacific/Auckland',
    };
    const ownBrowser = profile !== undefined || film !== undefined;
    const context = ownBrowser
      ? await chromium.launchPersistentContext(profile ?? (await this.newFolder()), {
          ...options,
          executablePath: EXECUTABLE,
          args: [...ARGS, ...(film === undefined ? [] : withFilm(film))],
        })
      : await this.#browser.newContext(options);
    this.#contexts.add(context);
    await watchFor(this.troubles, context, site.url);
    return context.pages()[0] ?? (await context.newPage());
  }
}
