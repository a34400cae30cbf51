/**
 * POST /api/site/change: the site's book changed at a desk, answered as GET /api/site is. Apart from `site.ts`, so that
 * no bench loads what only desks send.
 */
import * as z from 'zod/mini';
import { operativeIdSchema } from '../domain/record/envelope.ts';
import { listOf, whole } from '../domain/shapes.ts';
import { siteFaultSchema } from '../domain/site-change-faults.ts';
import { siteChangeSchema } from '../domain/site-change-kinds.ts';
import { refusalSchema } from './refusal.ts';

export const SITE_CHANGES_MAX = 200;
export const SITE_CHANGE_BYTES_MAX = 64 * 1024;

export const siteChangeRequestSchema = z.object({
  /** The book's version that the desk saw: where it is another by now, nothing is changed. */
  version: whole(1),
  /** All of them or none, in this order. */
  changes: listOf(siteChangeSchema, SITE_CHANGES_MAX, 1),
  /** Who is at the desk. */
  by: operativeIdSchema,
});
export type SiteChangeRequest = z.infer<typeof siteChangeRequestSchema>;

/** Why the changes cannot stand, and which of them is the first that cannot. */
export const siteFaultsSchema = z.extend(refusalSchema, {
  faults: listOf(siteFaultSchema, 1000, 1),
  at: whole(0),
});
export type SiteFaults = z.infer<typeof siteFaultsSchema>;
