/** A run as JSON, and as a table that a person reads. */
import { type Figure, keepsBudget, ratios } from './figure.ts';
import { commit, machine } from './machine.ts';

/** What browser and server want of the processor by themselves. */
const OWN_LOAD = 1;

export interface Measured {
  readonly name: string;
  readonly figure: Figure;
  /** Before and after it was measured. */
  readonly load: readonly [number, number];
}

export function asJson(measured: readonly Measured[], date: Date): string {
  const figures = Object.fromEntries(
    measured.map(({ name, figure, load }) => {
      const { unit, values, budget, least = {}, baseline, runs, how } = figure;
      const beside = baseline === null ? {} : { baseline, ratio: ratios(figure) };
      return [name, { ...values, unit, budget, least, ok: keepsBudget(figure), ...beside, runs, load, how }];
    }),
  );
  const report = { machine: machine(), date: date.toISOString(), commit: commit(), figures };
  return `${JSON.stringify(report, null, 2)}\n`;
}

export function asTable(measured: readonly Measured[]): string {
  const rows = measured.flatMap(({ name, figure }) => {
    const beside = ratios(figure);
    return Object.entries(figure.values).map(([value, is]) => {
      const most = figure.budget[value];
      const least = figure.least?.[value];
      const base = figure.baseline?.values[value];
      return [
        `${name}.${value}`,
        String(is),
        most !== undefined ? `at most ${most}` : least !== undefined ? `at least ${least}` : '',
        most === undefined && least === undefined
          ? ''
          : is <= (most ?? is) && is >= (least ?? is)
            ? 'kept'
            : 'MISSED',
        base === undefined ? '' : `${base} × ${beside?.[value]}`,
      ];
    });
  });
  return columns([['figure', 'is', 'budget', '', 'baseline × ratio'], ...rows]) + disturbed(measured);
}

/** Others were at work on the machine: their share is in a figure, and in its baseline alike. */
function disturbed(measured: readonly Measured[]): string {
  const { cores } = machine();
  const names = measured.flatMap(({ name, load }) => (Math.max(...load) > cores + OWN_LOAD ? [name] : []));
  return names.length === 0
    ? ''
    : `\n\nThe machine was not quiet (see load): of ${names.join(', ')} believe the ratio, not the figure.`;
}

function columns(rows: readonly (readonly string[])[]): string {
  const width = (column: number) => Math.max(...rows.map((row) => row[column]?.length ?? 0));
  return rows
    .map((row) =>
      row
        .map((cell, column) => cell.padEnd(width(column)))
        .join('  ')
        .trimEnd(),
    )
    .join('\n');
}
