import { createHash } from 'node:crypto';
import { describe, expect, test } from 'vitest';
import { issueTicket, issueToken } from '../../src/domain/code.ts';
import { ticketPatternSchema } from '../../src/domain/ticket-pattern.ts';
import { badgeSize } from '../../src/paper/badge.ts';
import { printedDay, printedInstant } from '../../src/paper/day.ts';
import { A4, bySheet, type Grid, gridFor, type Size } from '../../src/paper/grid.ts';
import { arrangement, DEFAULT_LAYOUT } from '../../src/paper/layout.ts';
import { escapeText, Markup, markup } from '../../src/paper/markup.ts';
import { shortened } from '../../src/paper/shortened.ts';
import { type PaperFiles, paperCommand } from '../../src/server/paper/command.ts';
import { paperPage, paperPolicy } from '../../src/server/paper/sheet.ts';

const PAIR = issueTicket(0, 0).pair;

/** The first code that comes of bytes counted up from `start`: the same one every time. */
function tokenOf(kind: 'badge' | 'bench', start: number): string {
  for (let seed = start; ; seed += 1) {
    const token = issueToken(
      kind,
      Uint8Array.from({ length: 64 }, (_, at) => (seed * 31 + at * 7) % 234),
    );
    if (token !== null) return token;
  }
}

describe('labels on a sheet', () => {
  /** Each label's edges, reckoned from the grid alone. */
  function boxes(label: Size, grid: Grid) {
    return Array.from({ length: grid.columns * grid.rows }, (_, at) => {
      const left = grid.leftMm + (at % grid.columns) * (label.widthMm + grid.gapXMm);
      const top = grid.topMm + Math.floor(at / grid.columns) * (label.heightMm + grid.gapYMm);
      return { left, top, right: left + label.widthMm, bottom: top + label.heightMm };
    });
  }

  test.each(['tickets', 'badges', 'benches'] as const)('%s lie inside A4 and not on each other', (kind) => {
    const { label, grid } = arrangement(kind, DEFAULT_LAYOUT);
    const all = boxes(label, grid);
    for (const box of all) {
      expect(box.left).toBeGreaterThanOrEqual(4);
      expect(box.top).toBeGreaterThanOrEqual(4);
      expect(box.right).toBeLessThanOrEqual(A4.widthMm - 4);
      expect(box.bottom).toBeLessThanOrEqual(A4.heightMm - 4);
    }
    for (const [index, one] of all.entries()) {
      for (const two of all.slice(index + 1)) {
        const apart =
          one.right <= two.left || two.right <= one.left || one.bottom <= two.top || two.bottom <= one.top;
        expect(apart).toBe(true);
      }
    }
  });

  test('eight tickets of 100 × 70 mm, four folded badges, eight badges without a back', () => {
    const many = ({ columns, rows }: Grid) => columns * rows;
    expect(many(arrangement('tickets', DEFAULT_LAYOUT).grid)).toBe(8);
    expect(many(gridFor(badgeSize(true), { gapXMm: 6, gapYMm: 6 }))).toBe(4);
    expect(many(gridFor(badgeSize(false), { gapXMm: 6, gapYMm: 6 }))).toBe(8);
  });

  test('ready-cut labels go where the setting says', () => {
    const grid = gridFor(
      { widthMm: 99, heightMm: 67.7 },
      { columns: 2, rows: 4, leftMm: 4.7, topMm: 13.1, gapXMm: 2.5 },
    );
    const last = boxes({ widthMm: 99, heightMm: 67.7 }, grid).at(-1);
    expect(last?.left).toBeCloseTo(106.2);
    expect(last?.bottom).toBeCloseTo(283.9);
  });

  test.each([
    ['a column too many', { columns: 3 }],
    ['a row too many', { rows: 5 }],
    ['a margin too wide', { columns: 2, leftMm: 11 }],
    ['half a column', { columns: 1.5 }],
    ['no column', { columns: 0 }],
    ['a margin that is no number', { topMm: Number.NaN }],
    ['a page smaller than the label', { page: { widthMm: 90, heightMm: 60 } }],
  ])('%s is refused', (_, wish) => {
    expect(() => gridFor({ widthMm: 100, heightMm: 70 }, wish)).toThrow(RangeError);
  });

  test('sheets are filled in order and the last may be short', () => {
    expect(bySheet([1, 2, 3, 4, 5], gridFor({ widthMm: 100, heightMm: 140 }))).toEqual([[1, 2, 3, 4], [5]]);
    expect(bySheet([], gridFor({ widthMm: 100, heightMm: 70 }))).toEqual([]);
  });
});

describe('words on paper', () => {
  test.each([
    ['<b>&"\'', '&lt;b&gt;&amp;&quot;&#39;'],
    ['&amp;', '&amp;amp;'],
    ['a\u0000b\u001b[31mc\u0007', 'a\uFFFDb\uFFFD[31mc\uFFFD'],
    ['12\u202e34', '12\uFFFD34'],
    ['Ida Ström 9½', 'Ida Ström 9½'],
  ])('%j is escaped', (text, html) => {
    expect(escapeText(text)).toBe(html);
  });

  test('text is escaped in a template, markup is not, and no other object passes for markup', () => {
    const forged: unknown = JSON.parse('{"html":"<i>","markup":"<i>"}');
    expect(String(markup`${'<i>'}${new Markup('<i>')}${[markup`<u>`, markup`${2}`]}`)).toBe(
      '&lt;i&gt;<i><u>2',
    );
    // Past the compiler, as a request would bring it.
    expect(String(markup`${forged as string}`)).toBe('[object Object]');
  });

  test('a long text shows that it was cut', () => {
    expect(shortened('Full rebuild', 12)).toBe('Full rebuild');
    expect(shortened('Full rebuilds', 12)).toBe('Full rebuil…');
  });

  test.each([
    ['2026-12-10', 'Thu 10 Dec 2026'],
    ['2026-09-06', 'Sun 6 Sep 2026'],
    ['2028-02-29', 'Tue 29 Feb 2028'],
  ])('%s is printed %s', (day, printed) => {
    expect(printedDay(day)).toBe(printed);
  });

  test('the instant is printed on the site’s clock, summer time counted', () => {
    expect(printedInstant('2026-07-10T14:05:00Z', 'Europe/London')).toBe('Fri 10 Jul 2026, 15:05');
    expect(printedInstant('2026-12-10T23:30:00Z', 'Europe/Berlin')).toBe('Fri 11 Dec 2026, 00:30');
  });

  test('a day that does not exist is refused', () => {
    expect(() => printedDay('2026-02-29')).toThrow(RangeError);
    expect(() => paperPage({ title: 't', tickets: [{ pair: PAIR, promised: '2026-13-01' }] })).toThrow(
      RangeError,
    );
  });
});

describe('a page', () => {
  const badge = { token: tokenOf('badge', 1), name: 'Maud Tilney' };
  const bench = {
    token: tokenOf('bench', 1),
    name: 'Welt bench',
    stages: ['Welt sewing'],
    validUntil: '2026-12-10T14:40:00Z',
    zone: 'Europe/London',
  };

  test('has no script, no style attribute, no event handler and nothing to fetch', () => {
    const page = paperPage({ title: 't', tickets: [{ pair: PAIR }], badges: [badge], benches: [bench] });
    expect(page.match(/<style/g)).toHaveLength(1);
    expect(page).not.toMatch(/<script|<link|<img|<iframe|\sstyle=|\son\w+=|javascript:|@import/i);
    expect(page.match(/url\((?!data:)/g)).toBeNull();
    expect(page.replaceAll('http://www.w3.org/2000/svg', '')).not.toMatch(/https?:/);
  });

  test('its policy lets in this style element and no other', () => {
    const page = paperPage({ title: 't', tickets: [{ pair: PAIR }] });
    const style = page.slice(page.indexOf('<style>') + 7, page.indexOf('</style>'));
    const hash = createHash('sha256').update(style).digest('base64');
    expect(paperPolicy(page)).toContain(`style-src 'sha256-${hash}'`);
    expect(paperPolicy(page)).toContain("default-src 'none'");
    expect(paperPolicy(page)).not.toContain('unsafe');
  });

  test.each([
    [
      'a ticket whose check character is wrong',
      { tickets: [{ pair: `${PAIR.slice(0, -1)}${PAIR.endsWith('4') ? '5' : '4'}` }] },
    ],
    ['a badge as a ticket', { tickets: [{ pair: badge.token }] }],
    ['a ticket as a badge', { badges: [{ ...badge, token: PAIR }] }],
    ['a set-up code as a badge', { badges: [{ ...badge, token: bench.token }] }],
    ['a foreign number without the site’s pattern', { tickets: [{ pair: 'AB-1234' }] }],
    ['a time zone that is unknown', { benches: [{ ...bench, zone: 'Europe/Aldermoor' }] }],
    [
      'a label too small for a ticket',
      { tickets: [{ pair: PAIR }], layout: { ticketSize: { widthMm: 60, heightMm: 40 } } },
    ],
    [
      'a length that is none',
      {
        tickets: [{ pair: PAIR }],
        layout: { ticketSize: { widthMm: Number.POSITIVE_INFINITY, heightMm: 70 } },
      },
    ],
  ])('%s is refused', (_, page) => {
    expect(() => paperPage({ title: 't', ...page })).toThrow(RangeError);
  });

  test('marks the check character of our code, and none on a site’s own number', () => {
    const ours = paperPage({ title: 't', tickets: [{ pair: PAIR }] });
    expect(ours).toContain(
      `<span class="group">${PAIR.slice(4, -1)}<b class="check">${PAIR.slice(-1)}</b></span>`,
    );
    const own = paperPage({
      title: 't',
      tickets: [{ pair: 'AB-1234' }],
      pattern: ticketPatternSchema.parse('AB-####'),
    });
    expect(own).not.toContain('<b class="check">');
  });

  test('counts what does not go on the list', () => {
    const withThePair = Array.from({ length: 12 }, (_, index) => `shoe tree number ${index}`);
    const page = paperPage({ title: 't', tickets: [{ pair: PAIR, withThePair }] });
    const shown = page.match(/shoe tree number/g)?.length ?? 0;
    expect(shown).toBeLessThan(12);
    expect(page).toContain(`and ${12 - shown} more`);
  });
});

describe('shoe tags', () => {
  const PAIR_OURS = 'P7K4292W';
  const tagged = (pairs: readonly string[], pattern: string | null = null) =>
    paperPage({
      title: 'T',
      tickets: pairs.map((pair) => ({ pair })),
      tags: true,
      pattern: pattern === null ? null : ticketPatternSchema.parse(pattern),
    });

  test('two to a ticket, on the label beside it: letter, number and code, and nothing else', () => {
    const page = tagged([PAIR_OURS]);
    const text = (tag: string) =>
      tag
        .replace(/<[^>]*>/g, ' ')
        .replace(/\s+/g, ' ')
        .trim();
    const tags = [...page.matchAll(/<section class="tag"[^>]*>(.*?)<\/section>/gs)].map(([tag]) => text(tag));
    expect(tags).toEqual([
      'String L QR code of P7K4 292W L P7K4 292 W',
      'String R QR code of P7K4 292W R P7K4 292 W',
    ]);
    expect(page.match(/<section class="sheet tickets">/g)).toHaveLength(1);
  });

  test('are not there where nobody asked for them', () => {
    expect(paperPage({ title: 'T', tickets: [{ pair: PAIR_OURS }] })).not.toContain('class="tag');
  });

  test('fill the grid as tickets do: four pairs on a sheet of A4', () => {
    const pairs = Array.from({ length: 5 }, (_, index) => issueTicket(0, index * 3).pair);
    expect(tagged(pairs).match(/<section class="sheet tickets">/g)).toHaveLength(2);
  });

  test('a number that no bench would take is refused; a site’s own long one is printed whole', () => {
    expect(() => tagged(['P7K4292X'])).toThrow(RangeError);
    expect(tagged(['AB-2026-000123'], '@@-####-######')).toContain('class="number long"');
  });
});

describe('the paper command', () => {
  /** Files in memory; what the command writes stays in `written`. */
  function memory(files: Readonly<Record<string, string>> = {}) {
    const written = new Map<string, string>();
    const io: PaperFiles = {
      read: (path) => {
        const text = files[path];
        if (text === undefined) throw new Error(`ENOENT ${path}`);
        return text;
      },
      write: (path, text) => void written.set(path, text),
    };
    return { io, written };
  }

  const numbers = (html: string | undefined) =>
    [...(html ?? '').matchAll(/aria-label="Ticket ([^"]+)"/g)].map((match) => match[1]);

  test('two runs that follow each other never print a number twice', () => {
    const { io, written } = memory();
    const first = paperCommand('tickets --lane 3 --from 0 --count 24 --out a.html'.split(' '), io);
    expect(first.exitCode).toBe(0);
    const goOn = /--lane 3 --from (\d+)/.exec(first.says)?.[1] ?? 'nothing said';
    const second = paperCommand(
      ['tickets', '--lane', '3', '--from', goOn, '--count', '24', '--out', 'b.html'],
      io,
    );
    expect(second.exitCode).toBe(0);
    const all = [...numbers(written.get('a.html')), ...numbers(written.get('b.html'))];
    expect(all).toHaveLength(48);
    expect(new Set(all).size).toBe(48);
  });

  test('prints what a JSON file lists', () => {
    const file = {
      title: 'Aldermoor Bench',
      tickets: [{ pair: PAIR, job: 'Full rebuild', promised: '2026-12-10' }],
      badges: [{ token: tokenOf('badge', 5), name: 'Maud Tilney' }],
    };
    const { io, written } = memory({ 'in.json': JSON.stringify(file) });
    const outcome = paperCommand('print --in in.json --out out.html --single --no-badge-back'.split(' '), io);
    expect(outcome).toEqual({ exitCode: 0, says: '1 ticket, 1 badge in out.html.' });
    expect(written.get('out.html')).toContain('Thu 10 Dec 2026');
    expect(written.get('out.html')).toContain('Maud Tilney');
  });

  test.each([
    ['', /tickets or print/],
    ['shred', /tickets or print/],
    ['tickets more --out a.html', /more/],
    ['tickets --lane 0 --from 0 --count 24', /--out/],
    ['tickets --lane 0 --from 0 --count 24 --out a.pdf', /HTML/],
    ['tickets --lane 0 --from 0 --count 0 --out a.html', /--count/],
    ['tickets --lane 0 --from 0 --count 1e3 --out a.html', /--count/],
    ['tickets --lane 0 --from 0 --count 2001 --out a.html', /2000/],
    ['tickets --lane 676 --from 0 --count 1 --out a.html', /lane/],
    ['tickets --lane 0 --from 456976 --count 1 --out a.html', /used up/],
    ['tickets --lane 0 --from 0 --count 1 --dpi 72 --out a.html', /--dpi/],
    ['tickets --lane 0 --from 0 --count 1 --size 100 --out a.html', /--size/],
    ['tickets --lane 0 --from 0 --count 1 --size 60x40 --out a.html', /85 × 62/],
    ['tickets --lane 0 --from 0 --count 1 --columns 3 --out a.html', /fit/],
    ['tickets --lane 0 --from 0 --count 1 --left wide --out a.html', /--left/],
    ['tickets --colour red --out a.html', /colour/],
    ['print --out a.html', /--in/],
    ['print --in missing.json --out a.html', /missing\.json/],
    ['print --in torn.json --out a.html', /JSON/],
    ['print --in empty.json --out a.html', /nothing/],
    ['print --in owner.json --out a.html', /owner/],
    ['print --in damaged.json --out a.html', /no ticket code/],
  ])('«%s» says what is wrong, writes nothing and exits with 2', (line, says) => {
    const { io, written } = memory({
      'torn.json': '{"tickets":[',
      'empty.json': '{"tickets":[]}',
      'owner.json': JSON.stringify({ tickets: [{ pair: PAIR, owner: 'A. Person' }] }),
      'damaged.json': JSON.stringify({ tickets: [{ pair: 'P0000000' }] }),
    });
    const outcome = paperCommand(line.split(' ').filter(Boolean), io);
    expect(outcome.exitCode).toBe(2);
    expect(outcome.says).toMatch(says);
    expect(written.size).toBe(0);
  });

  test('says so when the file cannot be written', () => {
    const io: PaperFiles = {
      read: () => '',
      write: () => {
        throw new Error('EACCES');
      },
    };
    const outcome = paperCommand('tickets --lane 0 --from 0 --count 1 --out a.html'.split(' '), io);
    expect(outcome).toEqual({ exitCode: 2, says: 'Cannot write a.html.' });
  });
});
