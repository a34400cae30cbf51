/** One list of what can be read: the routes are made of it, and so is their description. */
import type * as z from 'zod/mini';
import {
  readDaysQuerySchema,
  readExportQuerySchema,
  readHandsQuerySchema,
  readPairAnswerSchema,
  readPreparingSchema,
  readRecordsAnswerSchema,
  readRecordsQuerySchema,
  readSheetAnswerSchema,
  readShiftsAnswerSchema,
} from '../../wire/read.ts';
import { EXPORTS } from './exports.ts';

/** What is said at one status: JSON of a schema, or a file of a type. */
export type ReadAnswer =
  | { readonly is: 'json'; readonly name: string; readonly schema: z.ZodMiniType }
  | { readonly is: 'file'; readonly type: string };

export interface ReadRoute {
  /** Under `READ_BASE`, as hono and OpenAPI both can be told it: `/pairs/{pair}`. */
  readonly path: string;
  readonly name: string;
  readonly summary: string;
  /** What each part of the path in braces is. */
  readonly parts: Readonly<Record<string, string>>;
  readonly query: z.ZodMiniObject | null;
  readonly answers: Readonly<Record<number, ReadAnswer>>;
}

const json = (name: string, schema: z.ZodMiniType): ReadAnswer => ({ is: 'json', name, schema });

export const RECORDS_ROUTE: ReadRoute = {
  path: '/records',
  name: 'readRecords',
  summary: 'All records in the order in which the server got them, page by page after a cursor.',
  parts: {},
  query: readRecordsQuerySchema,
  answers: { 200: json('Records', readRecordsAnswerSchema) },
};

export const PAIR_ROUTE: ReadRoute = {
  path: '/pairs/{pair}',
  name: 'readPair',
  summary: 'What is known of one pair, and its account.',
  parts: { pair: 'The number of its ticket, in upper case.' },
  query: readHandsQuerySchema,
  answers: { 200: json('Pair', readPairAnswerSchema) },
};

export const SHIFTS_ROUTE: ReadRoute = {
  path: '/shifts',
  name: 'readShifts',
  summary: 'The shifts that begin on these days.',
  parts: {},
  query: readDaysQuerySchema,
  answers: { 200: json('Shifts', readShiftsAnswerSchema) },
};

const FROM = { from: 'The instant at which the shift begins, as the list of shifts has it.' };

export const SHEET_ROUTE: ReadRoute = {
  path: '/shifts/{from}/sheet',
  name: 'readSheet',
  summary: 'The sheet of a shift: what each stage put through, and how the line stood.',
  parts: FROM,
  query: null,
  answers: { 200: json('Sheet', readSheetAnswerSchema), 202: json('Preparing', readPreparingSchema) },
};

export const SHEET_TABLE_ROUTE: ReadRoute = {
  path: '/shifts/{from}/sheet.csv',
  name: 'exportSheet',
  summary: 'The stages of a shift’s sheet as a table.',
  parts: FROM,
  query: null,
  answers: {
    200: { is: 'file', type: 'text/csv; charset=utf-8; header=present' },
    202: json('Preparing', readPreparingSchema),
  },
};

export const EXPORT_ROUTES = EXPORTS.map((one) => ({
  export: one,
  route: {
    path: `/exports/${one.file}`,
    name: `export${one.file.split('.').map(capital).join('')}`,
    summary: one.summary,
    parts: {},
    query: readExportQuerySchema,
    answers: { 200: { is: 'file', type: one.type } },
  } satisfies ReadRoute,
}));

export const DESCRIPTION_ROUTE: ReadRoute = {
  path: '/openapi.json',
  name: 'readDescription',
  summary: 'This description.',
  parts: {},
  query: null,
  answers: { 200: { is: 'file', type: 'application/json' } },
};

/** @param sheets whether this server computes shift sheets */
export function readRoutes(sheets: boolean): readonly ReadRoute[] {
  return [
    RECORDS_ROUTE,
    PAIR_ROUTE,
    SHIFTS_ROUTE,
    ...(sheets ? [SHEET_ROUTE, SHEET_TABLE_ROUTE] : []),
    ...EXPORT_ROUTES.map(({ route }) => route),
    DESCRIPTION_ROUTE,
  ];
}

function capital(word: string): string {
  return word.charAt(0).toUpperCase() + word.slice(1);
}
