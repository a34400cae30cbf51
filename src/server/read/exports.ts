/** The tables and logs that can be carried away, as text in pieces: none of them is ever held whole. */
import { type Column, csvHead, csvLine } from '../../domain/export/csv.ts';
import { ocelText } from '../../domain/export/ocel.ts';
import { recordColumns } from '../../domain/export/record-table.ts';
import { type SpellRow, spellColumns } from '../../domain/export/spell-table.ts';
import type { ExportView } from '../../domain/export/view.ts';
import { xesText } from '../../domain/export/xes.ts';
import { foldPair } from '../../domain/fold/pair.ts';
import { logSource, type Reading } from './log-source.ts';
import { heldRecord } from './plain-record.ts';

export interface Exporting extends Reading {
  readonly view: ExportView;
  readonly siteName: string;
}

export interface Export {
  readonly file: string;
  readonly type: string;
  readonly summary: string;
  readonly text: (exporting: Exporting) => AsyncIterable<string>;
}

/** RFC 7111 and RFC 4180 for `header`; the text begins with the mark of UTF-8, without which some programs guess wrongly. */
const CSV = 'text/csv; charset=utf-8; header=present';
export const UTF8_MARK = '\ufeff';

export const EXPORTS: readonly Export[] = [
  {
    file: 'records.csv',
    type: CSV,
    summary: 'Every record made in these days, one a line, by its time.',
    text: records,
  },
  {
    file: 'spells.csv',
    type: CSV,
    summary:
      'Every spell of work whose beginning was recorded in these days, one a line, by pair, with its times as put right since.',
    text: spells,
  },
  {
    file: 'log.ocel.json',
    type: 'application/json',
    summary:
      'An OCEL 2.0 log of the pairs that anything was recorded of in these days, each with its whole way.',
    text: (exporting) => ocelText(logSource(exporting), exporting.view),
  },
  {
    file: 'log.xes',
    type: 'application/xml; charset=utf-8',
    summary: 'An XES log (IEEE 1849) of the same pairs, each with its whole way as one trace.',
    text: (exporting) => xesText(logSource(exporting).pairs(), exporting.view, exporting.siteName),
  },
];

async function* records({ ledger, site, range, standing, view }: Exporting): AsyncIterable<string> {
  const columns = recordColumns(view);
  yield headOf(columns);
  for await (const held of ledger.recordsBetween(site, range.from, range.to)) {
    if (held.pos <= standing.head) yield csvLine(columns, { pos: held.pos, record: heldRecord(held).record });
  }
}

/** A spell belongs to the day on which its beginning was recorded, whatever times were given it since. */
async function* spells(exporting: Exporting): AsyncIterable<string> {
  const { from, to } = exporting.range;
  const columns = spellColumns(exporting.view);
  yield headOf(columns);
  for await (const { pair, placed } of logSource(exporting).pairs()) {
    const state = foldPair(pair, placed);
    const job = state.details?.job ?? null;
    const within = new Set(placed.flatMap(({ record: { id, at } }) => (from <= at && at < to ? [id] : [])));
    for (const spell of state.spells) {
      if (within.has(spell.id)) yield csvLine<SpellRow>(columns, { pair, job, spell });
    }
  }
}

function headOf<Row>(columns: readonly Column<Row>[]): string {
  return `${UTF8_MARK}${csvHead(columns)}`;
}
