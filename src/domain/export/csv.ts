/**
 * Tables as text by RFC 4180 (October 2005), section 2: records end with CRLF, a field that holds a comma, a quote, CR
 * or LF is quoted, and a quote in it is doubled.
 *
 * Whoever opens such a file may do so in a program that takes a text for a formula. So a text that could be one is
 * marked with an apostrophe (OWASP, «CSV Injection»; ASVS 5.0, requirement 1.2.10). The mark is in the file alone, and
 * a column of numbers needs none: what is in it is a number or nothing.
 */

export type Column<Row> =
  | { readonly head: string; readonly is: 'text'; readonly of: (row: Row) => string | null }
  | { readonly head: string; readonly is: 'number'; readonly of: (row: Row) => number | null };

/** Line by line, each with its CRLF, the heads first. @throws RangeError where a number is not finite */
export function* csvLines<Row>(columns: readonly Column<Row>[], rows: Iterable<Row>): Iterable<string> {
  yield csvHead(columns);
  for (const row of rows) yield csvLine(columns, row);
}

export function csvHead<Row>(columns: readonly Column<Row>[]): string {
  return lineOf(columns.map(({ head }) => textField(head)));
}

/** @throws RangeError where a number is not finite */
export function csvLine<Row>(columns: readonly Column<Row>[], row: Row): string {
  return lineOf(columns.map((column) => fieldOf(column, row)));
}

function lineOf(fields: readonly string[]): string {
  return `${fields.join(',')}\r\n`;
}

function fieldOf<Row>(column: Column<Row>, row: Row): string {
  if (column.is === 'text') return textField(column.of(row) ?? '');
  const number = column.of(row);
  if (number === null) return '';
  if (!Number.isFinite(number)) throw new RangeError(`${column.head}: ${number} is no number for a table`);
  return String(number);
}

/**
 * Where a program may take a cell to begin: at the beginning, after a line break, and after the tab or semicolon by which
 * another than this table would be divided.
 */
const CELL_BEGINS = '(?<=^|[\\r\\n\\t;])';
/** Blanks that such a program may skip: what Unicode calls white space, without those above, and marks of no width. */
const BLANKS = '(?:[^\\S\\r\\n\\t]|[\\u0000\\u200b-\\u200f\\u2060])*';
/** A formula's first characters, also as full-width letters, which some take for the same (from memory). */
const FORMULA = '[=+\\-@\\uff1d\\uff0b\\uff0d\\uff20]';
/** At the beginning these are dangerous by themselves (OWASP; ASVS 1.2.10 for NUL). */
const CONTROLS = '[\\t\\r\\n\\u0000]';

const COULD_BE_FORMULA = new RegExp(`${CELL_BEGINS}(?=${BLANKS}${FORMULA})`, 'gu');
const BEGINS_BADLY = new RegExp(`^${BLANKS}${CONTROLS}`, 'u');
/** Most of what a table holds, codes, words and times: nothing to be done, and soon seen. */
const PLAIN = /^\w[\w.:+-]*$/;
const WANTS_QUOTES = /[",\r\n]/;

function textField(text: string): string {
  if (PLAIN.test(text)) return text;
  const harmless = withoutFormula(text);
  return WANTS_QUOTES.test(harmless) ? `"${harmless.replaceAll('"', '""')}"` : harmless;
}

function withoutFormula(text: string): string {
  const marked = text.replace(COULD_BE_FORMULA, "'");
  return BEGINS_BADLY.test(marked) ? `'${marked}` : marked;
}
