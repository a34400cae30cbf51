/** What stands at a site, for somebody at a terminal. */
import { rulesOn } from '../../domain/calendar/versions.ts';
import { dayOn } from '../../domain/calendar/wall-time.ts';
import { inGroups } from '../../domain/code.ts';
import type { SiteBook } from '../../domain/site-book.ts';
import type { BenchEntry, SequenceFault } from '../ledger/ledger.ts';
import { overtimeLine, ruleLine, shutLine } from './calendar-words.ts';
import type { Order } from './order.ts';
import { isReader, readerLine } from './readers.ts';

export async function listing({ ledger, site, book, now }: Order): Promise<string> {
  const [benches, calendar, faults] = [
    await ledger.benches(site),
    await ledger.calendar(site),
    await ledger.sequenceFaults(site),
  ];
  const today = dayOn(book.timeZone, now);
  const badged = new Set(book.badges.map(({ operative }) => operative));
  return [
    `${book.name} (${site}), ${book.timeZone}, version ${book.version} of its book`,
    ...section(
      'Operatives',
      book.operatives.map(
        ({ id, name, role, released }) =>
          `${id}  ${name}, ${role}, ${badged.has(id) ? 'badge given' : 'no badge'}${releasedFor(released)}`,
      ),
    ),
    ...section('Tablets', benches.filter((entry) => !isReader(entry)).map(benchLine)),
    ...section('Readers', benches.filter(isReader).map(readerLine)),
    ...section('Shifts', rulesOn(calendar, today).map(ruleLine)),
    ...section('Shut days', calendar.shut.filter(({ to }) => to >= today).map(shutLine)),
    ...section('Overtime', calendar.overtime.filter(({ day }) => day >= today).map(overtimeLine)),
    ...section(
      'Racks',
      book.racks.map(({ rack, name }) => `${inGroups(rack).join(' ')}  ${name}`),
    ),
    ...section('Routes', routesLines(book)),
    ...section('Stages', [book.stages.map(({ code }) => code).join(' ')]),
    ...(faults.length === 0 ? [] : section('Sequences to look at', faults.map(faultLine))),
  ].join('\n');
}

function section(title: string, lines: readonly string[]): readonly string[] {
  return ['', title, ...(lines.length === 0 ? ['  none'] : lines.map((line) => `  ${line}`))];
}

/** Nothing where the site keeps no list: then every machine is open to this person. */
function releasedFor(released: readonly string[] | null): string {
  if (released === null) return '';
  return released.length === 0 ? ', released for no machine' : `, released for ${released.join(' ')}`;
}

function routesLines({ routes }: SiteBook): readonly string[] {
  const now = routes.at(-1);
  if (now === undefined) return [];
  const since = now.since === 0 ? 'from the catalogue' : `since ${new Date(now.since).toISOString()}`;
  const kept = routes.length === 1 ? '' : `, ${routes.length} versions kept`;
  return [`version ${now.version}, ${since}${kept}`];
}

function benchLine({ bench, name, place, stages, persisted, revokedAt }: BenchEntry): string {
  const work = place === 'desk' ? 'desk' : stages.join(' ');
  const storage = persisted === false ? ', storage not lasting' : '';
  const revoked = revokedAt === null ? '' : `, revoked ${new Date(revokedAt).toISOString()}`;
  return `${bench}  ${name}, ${work}${storage}${revoked}`;
}

function faultLine(fault: SequenceFault): string {
  if (fault.is === 'doubled') return `${fault.bench}: ${fault.seq} used ${fault.records.length} times`;
  const { from, to } = fault;
  return `${fault.bench}: ${from === to ? from : `${from} to ${to}`} not here`;
}
