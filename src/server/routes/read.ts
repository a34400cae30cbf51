/**
 * The read interface, /api/read/v1: for readers' tokens and desks' keys. `src/wire/read.ts` says what it answers, and
 * `read-route.ts` which routes there are. Nothing here is written but the key of the site's pseudonyms, once.
 */
import { Hono } from 'hono';
import { READ_BASE } from '../../wire/read.ts';
import { withKey } from '../access.ts';
import type { AppContext, AppEnv, ServerParts } from '../parts.ts';
import { openApi } from '../read/openapi.ts';
import {
  DESCRIPTION_ROUTE,
  EXPORT_ROUTES,
  PAIR_ROUTE,
  RECORDS_ROUTE,
  type ReadRoute,
  readRoutes,
  SHEET_ROUTE,
  SHEET_TABLE_ROUTE,
  SHIFTS_ROUTE,
} from '../read/read-route.ts';
import type { FindSheet } from '../read/sheets.ts';
import { OneAtATime } from '../read/streamed.ts';
import { answerExport } from './read-export.ts';
import { answerReadPair, answerReadRecords } from './read-records.ts';
import { answerReadSheet, answerReadShifts, answerSheetTable } from './read-shifts.ts';

/** @param findSheet null on a server that computes no shift sheets: then it has no routes for them, nor describes any */
export function readInterface(parts: ServerParts, findSheet: FindSheet | null): Hono<AppEnv> {
  const app = new Hono<AppEnv>();
  const description = openApi(readRoutes(findSheet !== null));
  const underway = new OneAtATime();
  const get = ({ path }: ReadRoute, answer: (c: AppContext) => Response | Promise<Response>) =>
    app.get(path.replaceAll(/\{(\w+)\}/g, ':$1'), withKey(parts, 'reader', 'desk'), answer);

  get(RECORDS_ROUTE, answerReadRecords(parts));
  get(PAIR_ROUTE, answerReadPair(parts));
  get(SHIFTS_ROUTE, answerReadShifts(parts));
  if (findSheet !== null) {
    get(SHEET_ROUTE, answerReadSheet(parts, findSheet));
    get(SHEET_TABLE_ROUTE, answerSheetTable(parts, findSheet));
  }
  for (const { route, export: one } of EXPORT_ROUTES) get(route, answerExport(parts, one, underway));
  get(DESCRIPTION_ROUTE, (c) => c.json(description));
  return new Hono<AppEnv>().route(READ_BASE, app);
}
