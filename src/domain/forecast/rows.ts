/** Lists of lists as tables: where each list begins, and all of them one after the other. */

export interface Rows {
  readonly from: Int32Array;
  readonly all: readonly number[];
}

export function rowsOf(lists: readonly (readonly number[])[]): Rows {
  const from = new Int32Array(lists.length + 1);
  for (const [index, list] of lists.entries()) from[index + 1] = (from[index] ?? 0) + list.length;
  return { from, all: lists.flat() };
}
