/**
 * Reads the catalogue's tables: one line a row, cells between bars, `-` for an empty cell. Kept as text
 * because a row on one line can be checked by eye against paper; read once, when the module loads, so a
 * slip stops the build and the tests, never a bench.
 */

/** Cells of one row by column. */
export type Row<Column extends string> = Readonly<Record<Column, string>>;

/**
 * Reads every row of `text` with `read`. The first column is the row's key and must be its own.
 * Throws, naming the table and the row, on a wrong number of cells, a blank cell, a key given twice, or
 * whatever `read` throws.
 */
export function table<const Column extends string, Entry>(
  name: string,
  columns: readonly Column[],
  text: string,
  read: (row: Row<Column>) => Entry,
): readonly Entry[] {
  const keys = new Set<string>();
  return linesOf(text).map((line) => {
    const cells = line.split('|').map((cell) => cell.trim());
    const key = cells[0] ?? '';
    try {
      if (keys.has(key)) throw new Error('this key stands twice');
      keys.add(key);
      return read(rowOf(columns, cells));
    } catch (cause) {
      throw new Error(`${name}, row "${key}": ${cause instanceof Error ? cause.message : cause}`, { cause });
    }
  });
}

function linesOf(text: string): string[] {
  return text.split('\n').filter((line) => line.trim() !== '');
}

function rowOf<Column extends string>(columns: readonly Column[], cells: readonly string[]): Row<Column> {
  if (cells.length !== columns.length) {
    throw new Error(`has ${cells.length} cells, needs ${columns.length}`);
  }
  if (cells.includes('')) throw new Error('has a blank cell; write - for none');
  return Object.fromEntries(columns.map((column, index) => [column, cells[index]])) as Row<Column>;
}

/** Words between spaces; none for `-`. */
export const wordsOf = (cell: string): readonly string[] => (cell === '-' ? [] : cell.split(/\s+/));

/** The cell, or null for `-`. */
export const wordsOrNull = (cell: string): string | null => (cell === '-' ? null : cell);

/** The one of `allowed` that the cell says. Throws on anything else. */
export function oneOf<const Word extends string>(allowed: readonly Word[], cell: string): Word {
  const word = allowed.find((candidate) => candidate === cell);
  if (word === undefined) throw new Error(`"${cell}" is none of ${allowed.join(', ')}`);
  return word;
}

/** `yes` or `-`. Throws on anything else. */
export const yesOrNot = (cell: string): boolean => oneOf(['yes', '-'], cell) === 'yes';
