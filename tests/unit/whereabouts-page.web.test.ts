/** The page itself in a real Chromium, under the content policy of production: what is shown, and what is recorded when. */
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { extname, join } from 'node:path';
import { type Browser, chromium, type Page } from 'playwright';
import { build } from 'vite';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import { ARGS, EXECUTABLE } from '../support/chromium.ts';

const POLICY = "default-src 'self'; script-src 'self'; style-src 'self'; img-src 'self' blob:";
const TYPES: Readonly<Record<string, string>> = { '.js': 'text/javascript', '.css': 'text/css' };
const HTML = `<!doctype html><html lang="en-GB"><meta charset="utf-8"><title>where</title>
<link rel="stylesheet" href="/page.css"><div id="root"></div><script type="module" src="/page.js"></script>`;

/** There is no such file: it only says where the page's packages are looked for. */
const ENTRY = join(process.cwd(), 'where-page.js');
const HOSTILE = '<img src=x onerror="window.hit=1">';
const BOTH_WAYS = 'עמית 300 👞';

/** Three pairs at a desk that keeps what is recorded in a list, fails when it is told to, and counts what is printed. */
const PAGE = `
import { h, render } from 'preact';
import { WhereaboutsPage } from '${join(process.cwd(), 'src/desk/pages/whereabouts-page.tsx')}';
import { goTo } from '${join(process.cwd(), 'src/desk/address.ts')}';
import { foldPair } from '${join(process.cwd(), 'src/domain/fold/pair.ts')}';
import { DESK, fullBook, handAt, INES, MONDAY_8, PAIR, placed, RUTH, unplaced, WELTING, WLT } from '${join(process.cwd(), 'tests/support/builders.ts')}';

const desk = handAt(DESK, RUTH);
const bench = handAt(WELTING, INES, MONDAY_8 + 60_000);
const logged = (pair, told) => desk.write('pair-logged', { pair, yes: 'given', ...told });
const ledger = new Map([
  [PAIR, [logged(PAIR, { ownerRef: 'A-1042' }), bench.write('noted', { weight: 'stop', text: 'rib loose' })]],
  ['P030000Y', [logged('P030000Y', { ownerRef: ${JSON.stringify(HOSTILE)}, style: '<b>brown</b>' })]],
  ['P07E74KX', [logged('P07E74KX', { ownerRef: ${JSON.stringify(BOTH_WAYS)} })]],
]);
const seen = { acts: [], printed: [], fails: false, printFails: false, held: false };
window.seen = seen;
const fold = () => new Map([...ledger].map(([pair, records]) => [pair, foldPair(pair, placed(records))]));
let seq = 100;
const office = {
  book: fullBook(), desk: DESK, at: null, pairs: fold(), outOfUse: [], readIn: true, upTo: MONDAY_8, waiting: 0, now: MONDAY_8 + 3_600_000,
  newTicket: () => Promise.reject(new Error('no ticket is asked for here')),
  record: async (acts) => {
    seen.acts.push(acts);
    do await new Promise((resolve) => setTimeout(resolve, 50)); while (seen.held);
    if (seen.fails) throw new Error('the store is full');
    const made = acts.map(({ kind, said }) => desk.write(kind, { ...said, seq: (seq += 1) }));
    for (const record of made) ledger.get(record.pair).push(record);
    show({ pairs: fold() });
    return made;
  },
};
const given = {
  print: async (papers) => { if (seen.printFails) throw new Error('no printer'); seen.printed.push(papers); },
  recordsOf: async (pair) => unplaced(ledger.get(pair) ?? []),
};
function show(change) {
  Object.assign(office, change);
  render(h(WhereaboutsPage, { office: { ...office }, ...given }), document.querySelector('#root'));
}
Object.assign(window, { show, goTo });
show({});
`;

let folder: string;
let server: Server;
let origin: string;
let browser: Browser;
let page: Page;
const faults: string[] = [];

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'where-'));
  await build({
    root: folder,
    configFile: false,
    logLevel: 'error',
    oxc: { jsx: { runtime: 'automatic', importSource: 'preact', development: false } },
    build: {
      outDir: 'dist',
      assetsInlineLimit: 0,
      cssCodeSplit: false,
      modulePreload: false,
      rollupOptions: {
        input: 'virtual:page',
        output: {
          entryFileNames: 'page.js',
          codeSplitting: false,
          assetFileNames: (asset) =>
            asset.names.some((name) => name.endsWith('.css')) ? 'page.css' : '[name][extname]',
        },
      },
    },
    plugins: [
      {
        name: 'page',
        resolveId: (id) => (id === 'virtual:page' ? ENTRY : null),
        load: (id) => (id === ENTRY ? PAGE : null),
      },
    ],
  });
  server = createServer((request, response) => {
    const path = request.url ?? '';
    const type = TYPES[extname(path)];
    const body = type === undefined ? Promise.resolve(HTML) : readFile(join(folder, 'dist', path));
    body.then(
      (content) => {
        response.writeHead(200, { 'content-type': type ?? 'text/html', 'content-security-policy': POLICY });
        response.end(content);
      },
      () => response.writeHead(404).end(),
    );
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  origin = `http://localhost:${(server.address() as AddressInfo).port}`;
  browser = await chromium.launch({ executablePath: EXECUTABLE, args: [...ARGS] });
}, 60_000);

afterAll(async () => {
  await browser.close();
  server.close();
  await rm(folder, { recursive: true });
});

beforeEach(async () => {
  page = await browser.newPage({ viewport: { width: 1280, height: 800 } });
  page.on('pageerror', (error) => faults.push(String(error)));
});

afterEach(async () => {
  await page.close();
  expect(faults.splice(0)).toEqual([]);
});

const openPair = async (pair: string) => {
  await page.goto(`${origin}/desk/where/${pair}`);
  await page.waitForSelector('.pair-account');
};
const seat = (hand: string) => page.evaluate(`window.show({ at: '${hand}' })`);
const tell = (what: string) => page.evaluate(`Object.assign(window.seen, ${what})`);
const acts = () => page.evaluate<{ kind: string; said: Record<string, unknown> }[][]>('window.seen.acts');
const button = (name: string) => page.getByRole('button', { name, exact: true });

describe('what anybody typed is text', () => {
  test('a reference that looks like markup is shown to the letter, and runs nothing', async () => {
    await openPair('P030000Y');
    expect(await page.locator('.pair-head bdi').first().textContent()).toBe(HOSTILE);
    await page.getByRole('searchbox').fill('<img');
    expect(await page.locator('.where-list bdi').first().textContent()).toBe(HOSTILE);
    await page.locator('.pair-account summary').click();
    expect(await page.locator('main img, main b b').count()).toBe(0);
    expect(await page.evaluate('window.hit')).toBeUndefined();
  });

  test('a reference from right to left keeps to itself, emoji and all', async () => {
    await openPair('P07E74KX');
    const reference = page.locator('.pair-head bdi').first();
    expect(await reference.textContent()).toBe(BOTH_WAYS);
    expect(await reference.evaluate((element) => getComputedStyle(element).direction)).toBe('rtl');
    expect(
      await page.locator('#pair-number').evaluate((element) => getComputedStyle(element).direction),
    ).toBe('ltr');
  });
});

describe('finding', () => {
  test('a ticket with Enter, as a wedge scanner ends it, opens the pair and its address', async () => {
    await page.goto(`${origin}/desk/where`);
    await page.getByRole('searchbox').fill('p7k4 292w');
    await page.keyboard.press('Enter');
    await page.waitForSelector('.pair');
    expect(new URL(page.url()).pathname).toBe('/desk/where/P7K4292W');
    await page.goBack();
    expect(await page.locator('.pair').count()).toBe(0);
  });

  test('the way to the whereabouts in the head closes the pair that is open', async () => {
    await openPair('P7K4292W');
    await page.evaluate(`window.goTo('/desk/where')`);
    await expect.poll(() => page.locator('.pair').count()).toBe(0);
    expect(await page.locator('.where-list').count()).toBe(1);
    await page.goBack();
    await page.locator('.pair').waitFor();
  });

  test('a ticket typed badly is offered with what to compare, and Enter does not take it', async () => {
    await page.goto(`${origin}/desk/where`);
    await page.getByRole('searchbox').fill('P7K4292X');
    expect(await page.locator('.where-row-compare').textContent()).toContain('character 8: is it X or W?');
    await page.keyboard.press('Enter');
    expect(await page.locator('.pair').count()).toBe(0);
  });
});

describe('recording', () => {
  test('nobody at the desk: nothing can be recorded, and a sentence says so', async () => {
    await openPair('P7K4292W');
    expect(await page.locator('.pair-acts .where-mind').textContent()).toContain('Nobody is at the desk');
    expect(await page.locator('.pair-acts ul button:not(:disabled)').count()).toBe(0);
  });

  test('it is said to be made only once it is', async () => {
    await openPair('P7K4292W');
    await seat('op-ruth');
    await button('Ask the owner').click();
    await page.getByLabel('Why, in a line').fill('the insole is broken through');
    await tell('{ held: true }');
    await button('Record').click();
    await expect.poll(() => page.getByRole('alert').textContent()).toBe('Recording');
    expect(await page.locator('.pair-made').textContent()).toBe('');
    await tell('{ held: false }');
    await expect
      .poll(() => page.locator('.pair-made').textContent())
      .toBe('Recorded: the owner is to be asked.');
    expect(await acts()).toEqual([
      [{ kind: 'owner-asked', said: { pair: 'P7K4292W', note: null, why: 'the insole is broken through' } }],
    ]);
    expect(await page.locator('.pair-tell p').textContent()).toContain('waiting for your answer');
  });

  test('what failed says so, keeps what was typed, and is tried again as the very same', async () => {
    await openPair('P7K4292W');
    await seat('op-ruth');
    await tell('{ fails: true }');
    await button('Ask the owner').click();
    await page.getByLabel('Why, in a line').fill('sole gone');
    await button('Record').click();
    await expect.poll(() => page.getByRole('alert').textContent()).toContain('Nothing was recorded');
    expect(await page.locator('.pair-made').textContent()).toBe('');
    expect(await page.getByLabel('Why, in a line').inputValue()).toBe('sole gone');
    await tell('{ fails: false }');
    await button('Record').click();
    await expect.poll(() => page.locator('.pair-made').textContent()).toContain('Recorded');
    expect(await page.evaluate('window.seen.acts[0] === window.seen.acts[1]')).toBe(true);
  });

  test('the owner’s answer asks for the day anew, and shows what another kind of job comes to', async () => {
    await openPair('P7K4292W');
    await seat('op-ruth');
    await button('Record the owner’s answer').click();
    await page.getByLabel('Go on, but cheaper').check();
    expect(await page.getByLabel('Promised for').inputValue()).toBe('');
    await page.getByLabel('Kind of job').selectOption('HF');
    expect(await page.locator('.pair-change').textContent()).toContain('No longer needed: ');
    await button('Record').click();
    expect(await page.getByRole('alert').textContent()).toBe('Say for which day it is promised.');
    expect(await acts()).toEqual([]);
    await page.getByLabel('Promised for').fill('2026-12-20');
    await button('Record').click();
    await expect.poll(() => page.locator('.pair-head .pair-what').textContent()).toContain('Half sole');
  });

  test('after a stop the pair is given back in parts, once, and then has gone out', async () => {
    await openPair('P07E74KX');
    await seat('op-ruth');
    expect(await button('Given back in parts').count()).toBe(0);
    await button('Record the owner’s answer').click();
    await page.getByLabel('Stop, and return in parts').check();
    await button('Record').click();
    await button('Given back in parts').click();
    await button('Record').click();
    expect(await page.getByRole('alert').textContent()).toContain('Say how it went back');
    await page.getByLabel('How it went back, in a line').fill('fetched by the owner');
    await button('Record').click();
    await expect
      .poll(() => page.locator('.pair-facts dd').first().textContent())
      .toContain('Given back in parts');
    expect(await page.locator('.pair-tell p').textContent()).toContain('returned in parts');
    expect(await button('Given back in parts').count()).toBe(0);
    expect((await acts()).flat().map(({ kind }) => kind)).toEqual(['owner-answered', 'handed-back']);
  });

  test('a stop note is released by a supervisor alone', async () => {
    await openPair('P7K4292W');
    await seat('op-ines');
    await button('Release a stop note').click();
    expect(await page.locator('.pair-acts .where-mind').textContent()).toBe(
      'Only a supervisor releases a stop note.',
    );
    await seat('op-ruth');
    await page.getByLabel('Stop (left): rib loose').check();
    await page.getByLabel('Why, in a line').fill('stuck and tried');
    await button('Record').click();
    await expect.poll(() => page.locator('.pair-notes').textContent()).toContain('released: stuck and tried');
  });

  test('a second ticket: recorded, then printed with the same number; a failed print is no second record', async () => {
    await openPair('P7K4292W');
    await seat('op-ruth');
    await tell('{ printFails: true }');
    await button('Second ticket').click();
    await page.getByLabel('The first is lost').check();
    await button('Record and print').click();
    await page.getByText('It is recorded, but nothing was printed.').waitFor();
    await tell('{ printFails: false }');
    await button('Print it again').click();
    await expect.poll(() => page.locator('.pair-made').textContent()).toBe('Recorded: a second ticket.');
    expect((await acts()).flat().map(({ kind }) => kind)).toEqual(['ticket-reprinted']);
    expect(await page.evaluate('window.seen.printed[0][0]')).toMatchObject({
      pair: 'P7K4292W',
      second: true,
    });
  });

  test('a logging by mistake is taken back, and stays in the account', async () => {
    await openPair('P07E74KX');
    await seat('op-ruth');
    await button('Logged by mistake').click();
    await page.getByLabel('Why, in a line').fill('the wrong pair');
    await button('Record').click();
    await expect.poll(() => page.locator('.pair-head').textContent()).toContain('Scanned, but never logged');
    await expect.poll(() => page.locator('.pair-taken-back').count()).toBe(1);
    const logIt = page.getByRole('link', { name: 'Log it in with this ticket' });
    expect(await logIt.getAttribute('href')).toBe('/desk/log?ticket=P07E74KX');
  });
});
