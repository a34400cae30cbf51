/**
 * The paper command, without a database: blank tickets with new numbers, or whatever a JSON file lists.
 * Badges and set-up codes count only once the server has recorded them, so they are never made up here.
 */
import { parseArgs } from 'node:util';
import * as z from 'zod';
import { issueTicket } from '../../domain/code.ts';
import type { PaperLayout } from '../../paper/layout.ts';
import type { TicketPaper } from '../../paper/ticket.ts';
import { LABELS_MAX, paperRequestSchema } from './request.ts';
import { type PaperPage, paperPage } from './sheet.ts';

export const PAPER_USAGE = `Prints tickets, badges and set-up cards to an HTML page. Open it in a browser and print it at actual size.

  npm run paper -- tickets --lane 0 --from 0 --count 24 --out tickets.html
      blank tickets with new numbers; says where to go on, so that no number is given twice
  npm run paper -- print --in paper.json --out paper.html
      what the file lists: {"title":…, "tickets":[…], "badges":[…], "benches":[…], "pattern":…}

  --dpi 203          resolution of the printer; a module of a symbol is a whole number of its dots
  --single           one label a page, for a label roll
  --size 100x70      size of a ticket, mm
  --columns 2 --rows 4 --left 5 --top 8.5 --gap-x 0 --gap-y 0
                     where a sheet of ready-cut labels has them, mm
  --no-cut-lines     no hairlines around tickets
  --tags             beside each ticket the tags of its two shoes
  --no-badge-back    badges without the panel for laser and wedge scanners
`;

/** Bad input: told to whoever typed it, with exit code 2. */
class Refusal extends Error {}

export interface PaperFiles {
  readonly read: (path: string) => string;
  readonly write: (path: string, text: string) => void;
}

/** What the command says, and its exit code: 0 done, 2 bad input. */
export interface PaperOutcome {
  readonly exitCode: 0 | 2;
  readonly says: string;
}

const OPTIONS = {
  in: { type: 'string' },
  out: { type: 'string' },
  title: { type: 'string' },
  lane: { type: 'string' },
  from: { type: 'string' },
  count: { type: 'string' },
  dpi: { type: 'string' },
  single: { type: 'boolean' },
  size: { type: 'string' },
  columns: { type: 'string' },
  rows: { type: 'string' },
  left: { type: 'string' },
  top: { type: 'string' },
  'gap-x': { type: 'string' },
  'gap-y': { type: 'string' },
  'no-cut-lines': { type: 'boolean' },
  tags: { type: 'boolean' },
  'no-badge-back': { type: 'boolean' },
  help: { type: 'boolean' },
} as const;

type Values = ReturnType<typeof parsed>['values'];

/** Runs the command. `args` are the words after the command's name. */
export function paperCommand(args: readonly string[], files: PaperFiles): PaperOutcome {
  try {
    const { values, positionals } = parsed(args);
    if (values.help === true) return { exitCode: 0, says: PAPER_USAGE };
    const [order, ...others] = positionals;
    if (others.length > 0) throw new Refusal(`What is «${others[0]}» for? One order at a time.`);
    switch (order) {
      case 'tickets':
        return { exitCode: 0, says: blankTickets(values, files) };
      case 'print':
        return { exitCode: 0, says: listed(values, files) };
      default:
        throw new Refusal(`Say what to print: tickets or print.\n\n${PAPER_USAGE}`);
    }
  } catch (cause) {
    // A code, a day or a size that cannot be printed comes as RangeError from the labels themselves.
    if (cause instanceof Refusal || cause instanceof RangeError) return { exitCode: 2, says: cause.message };
    throw cause;
  }
}

function parsed(args: readonly string[]) {
  try {
    return parseArgs({ args: [...args], options: OPTIONS, allowPositionals: true, strict: true });
  } catch (cause) {
    throw new Refusal(cause instanceof Error ? cause.message : String(cause));
  }
}

function blankTickets(values: Values, files: PaperFiles): string {
  const out = outPath(values);
  const lane = whole(values, 'lane', 0);
  const count = whole(values, 'count', 1);
  if (count > LABELS_MAX) throw new Refusal(`--count: ${LABELS_MAX} at most in one go.`);
  const tickets: TicketPaper[] = [];
  let next = whole(values, 'from', 0);
  while (tickets.length < count) {
    const issued = issueTicket(lane, next);
    tickets.push({ pair: issued.pair });
    next = issued.next;
  }
  save(
    out,
    paperPage({ title: values.title ?? 'Tickets', tickets, tags: values.tags, layout: layoutOf(values) }),
    files,
  );
  return `${counted(tickets, 'ticket')} in ${out}. Go on with: --lane ${lane} --from ${next}`;
}

function listed(values: Values, files: PaperFiles): string {
  const out = outPath(values);
  if (values.in === undefined) throw new Refusal('--in: name the JSON file.');
  const request = paperRequestSchema.safeParse(json(values.in, files));
  if (!request.success) throw new Refusal(`${values.in}:\n${z.prettifyError(request.error)}`);
  const { title = 'Paper', ...rest } = request.data;
  const page: PaperPage = {
    ...rest,
    title: values.title ?? title,
    tags: values.tags,
    layout: layoutOf(values),
  };
  const present = [
    counted(page.tickets, 'ticket'),
    counted(page.badges, 'badge'),
    counted(page.benches, 'set-up card'),
  ].filter((part) => part !== '');
  if (present.length === 0) throw new Refusal(`${values.in} lists nothing to print.`);
  save(out, paperPage(page), files);
  return `${present.join(', ')} in ${out}.`;
}

function counted(papers: readonly unknown[] | undefined, noun: string): string {
  const many = papers?.length ?? 0;
  return many === 0 ? '' : `${many} ${noun}${many === 1 ? '' : 's'}`;
}

function json(path: string, files: PaperFiles): unknown {
  let text: string;
  try {
    text = files.read(path);
  } catch {
    throw new Refusal(`Cannot read ${path}.`);
  }
  try {
    return JSON.parse(text);
  } catch (cause) {
    throw new Refusal(`${path} is no JSON: ${cause instanceof Error ? cause.message : String(cause)}`);
  }
}

function save(path: string, page: string, files: PaperFiles): void {
  try {
    files.write(path, page);
  } catch {
    throw new Refusal(`Cannot write ${path}.`);
  }
}

function outPath({ out }: Values): string {
  if (out === undefined) throw new Refusal('--out: name the file to write, for instance tickets.html.');
  if (!/\.html?$/i.test(out)) {
    throw new Refusal(`--out ${out}: the page is HTML. Name it .html; a browser prints it, to PDF too.`);
  }
  return out;
}

function layoutOf(values: Values): Partial<PaperLayout> {
  const wished = {
    columns: values.columns === undefined ? undefined : whole(values, 'columns', 1),
    rows: values.rows === undefined ? undefined : whole(values, 'rows', 1),
    leftMm: length(values, 'left'),
    topMm: length(values, 'top'),
    gapXMm: length(values, 'gap-x'),
    gapYMm: length(values, 'gap-y'),
  };
  const ticketGrid = Object.fromEntries(Object.entries(wished).filter(([, value]) => value !== undefined));
  return {
    ticketGrid,
    cutLines: values['no-cut-lines'] !== true,
    badgeBack: values['no-badge-back'] !== true,
    on: values.single === true ? 'single' : 'sheet',
    ...(values.dpi === undefined ? {} : { dpi: resolution(values) }),
    ...(values.size === undefined ? {} : { ticketSize: size(values.size) }),
  };
}

type TextOption = 'lane' | 'from' | 'count' | 'dpi' | 'columns' | 'rows' | 'left' | 'top' | 'gap-x' | 'gap-y';

function whole(values: Values, name: TextOption, least: number): number {
  const text = values[name];
  const number = Number(text);
  if (text === undefined || !/^\d{1,9}$/.test(text) || number < least) {
    throw new Refusal(`--${name}: a whole number, ${least} or more.`);
  }
  return number;
}

function resolution(values: Values): number {
  const dpi = whole(values, 'dpi', 150);
  if (dpi > 2400) throw new Refusal('--dpi: from 150 to 2400.');
  return dpi;
}

function length(values: Values, name: TextOption): number | undefined {
  const text = values[name];
  if (text === undefined) return undefined;
  if (!/^\d{1,3}(\.\d{1,3})?$/.test(text)) throw new Refusal(`--${name}: millimetres, for instance 8.5.`);
  return Number(text);
}

function size(text: string): { widthMm: number; heightMm: number } {
  const sides = /^(\d{2,3}(?:\.\d{1,2})?)x(\d{2,3}(?:\.\d{1,2})?)$/.exec(text);
  if (sides === null) throw new Refusal('--size: width and height in mm, for instance 100x70.');
  return { widthMm: Number(sides[1]), heightMm: Number(sides[2]) };
}
