/**
 * A cursor says how far into the server's ledger a reader has read: the ledger's epoch and a position in it.
 * A restored backup starts a new epoch, and positions of different epochs cannot be compared.
 */
import type { Cursor } from './ids.ts';
import { idText } from './shapes.ts';

/** Before anything was read. */
export const CURSOR_START = '' as Cursor;

export const cursorSchema = idText<Cursor>(/^([0-9a-f]{8,32}\.\d{1,15})?$/, 'is no cursor');

export interface Place {
  readonly epoch: string;
  readonly pos: number;
}

export function cursorAt({ epoch, pos }: Place): Cursor {
  return `${epoch}.${pos}` as Cursor;
}

/** The place that a cursor names, or null before anything was read. */
export function placeOf(cursor: Cursor): Place | null {
  const dot = cursor.indexOf('.');
  return dot < 0 ? null : { epoch: cursor.slice(0, dot), pos: Number(cursor.slice(dot + 1)) };
}
