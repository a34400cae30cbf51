/** The table of records: one a line, those of newer tablets too, as far as they can be read. */
import type { OperativeId, StageCode } from '../ids.ts';
import type { Envelope } from '../record/envelope.ts';
import type { Column } from './csv.ts';
import { inUtc } from './times.ts';
import type { ExportView } from './view.ts';

/** A record of any kind, and its place in the ledger. */
export interface RecordRow {
  readonly pos: number;
  readonly record: Envelope & { readonly kind: string };
}

type Told = RecordRow['record'];

export function recordColumns(view: ExportView): readonly Column<RecordRow>[] {
  const text = (head: string, of: (record: Told) => string | null): Column<RecordRow> => ({
    head,
    is: 'text',
    of: ({ record }) => of(record),
  });
  return [
    // Not «ID»: a table that begins with these letters is taken for another format by some programs.
    text('Record', ({ id }) => id),
    { head: 'Position', is: 'number', of: ({ pos }) => pos },
    text('Pair', (record) => said(record, 'pair')),
    text('Kind', ({ kind }) => kind),
    text('Stage', stageOf),
    text('Stage name', (record) => {
      const stage = stageOf(record);
      return stage === null ? null : view.stageName(stage as StageCode);
    }),
    text('Shoe', (record) => said(record, 'shoe')),
    text('Bench', ({ bench }) => bench),
    text('Bench name', ({ bench }) => view.benchName(bench)),
    text('Hand', ({ by }) => (by === null ? null : view.handCalled(by))),
    text('At, site time', ({ at }) => view.siteTime(at)),
    text('At, UTC', ({ at }) => inUtc(at)),
    text('Clock known', ({ wall }) => yesNo(wall.known)),
    text('Outcome', (record) => said(record, 'outcome') ?? said(record, 'answer')),
    text('Why', (record) => WHY.reduce<string | null>((why, key) => why ?? said(record, key), null)),
    text('Sent back to', (record) => (record.kind === 'sent-back' ? said(record, 'to') : null)),
    text('Other hand', (record) => {
      const hand = said(record, 'hand');
      return hand === null ? null : view.handCalled(hand as OperativeId);
    }),
    text('About record', (record) => ABOUT.reduce<string | null>((id, key) => id ?? said(record, key), null)),
    { head: 'Number at the bench', is: 'number', of: ({ record }) => record.seq },
  ];
}

/** Under which word the kinds hold what somebody typed, and which other record they name. */
const WHY = ['why', 'reason', 'text', 'words'] as const;
const ABOUT = ['of', 'note', 'after'] as const;

function stageOf(record: Told): string | null {
  return said(record, 'stage') ?? (record.kind === 'sent-back' ? said(record, 'from') : null);
}

/** A field of the kind's own; null where it has none, or holds no text. */
export function said(record: object, key: string): string | null {
  const value = (record as Readonly<Record<string, unknown>>)[key];
  return typeof value === 'string' ? value : null;
}

export function yesNo(is: boolean): string {
  return is ? 'yes' : 'no';
}
