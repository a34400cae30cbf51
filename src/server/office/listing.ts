/** What stands at a site, for somebody at a terminal. */
import type { BenchEntry, SequenceFault } from '../ledger/ledger.ts';
import type { Order } from './order.ts';
import { DAYS } from './site.ts';

export async function listing({ ledger, site, book }: Order): Promise<string> {
  const [benches, rules, faults] = [
    await ledger.benches(site),
    await ledger.shiftRules(site),
    await ledger.sequenceFaults(site),
  ];
  const badged = new Set(book.badges.map(({ operative }) => operative));
  return [
    `${book.name} (${site}), ${book.timeZone}, version ${book.version} of its book`,
    ...section(
      'Operatives',
      book.operatives.map(
        ({ id, name, role }) => `${id}  ${name}, ${role}, ${badged.has(id) ? 'badge given' : 'no badge'}`,
      ),
    ),
    ...section('Tablets', benches.map(benchLine)),
    ...section(
      'Shifts',
      rules.map(
        ({ name, days, from, to }) =>
          `${name}: ${days.map((day) => DAYS[day - 1]).join(' ')}, ${from} to ${to}`,
      ),
    ),
    ...section('Stages', [book.stages.map(({ code }) => code).join(' ')]),
    ...(faults.length === 0 ? [] : section('Sequences to look at', faults.map(faultLine))),
  ].join('\n');
}

function section(title: string, lines: readonly string[]): readonly string[] {
  return ['', title, ...(lines.length === 0 ? ['  none'] : lines.map((line) => `  ${line}`))];
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
