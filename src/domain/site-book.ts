/**
 * The site's own book: its stages, its people, its shifts. Names and badges live here and can be changed or
 * erased; the ledger only holds opaque ids.
 */
import * as z from 'zod/mini';
import type { OperativeId, StageCode } from './ids.ts';
import { type Instant, instantSchema } from './instant.ts';
import {
  benchIdSchema,
  lineSchema,
  operativeIdSchema,
  siteIdSchema,
  stageCodeSchema,
} from './record/envelope.ts';
import { daySchema, rackSchema } from './record/kind.ts';
import { listOf, text, whole, written } from './shapes.ts';
import { type SiteRoutes, siteRoutesSchema } from './site-routes.ts';
import { ticketPatternSchema } from './ticket-pattern.ts';

/** Hands work pairs; supervisors also let things through; the office logs and answers. */
export const ROLES = ['hand', 'supervisor', 'office'] as const;
export type Role = (typeof ROLES)[number];

/** A wait after a stage in minutes, both ends included: a caution at the next bench, never a lock. */
const settlesSchema = z.nullable(z.object({ least: whole(0), most: whole(0) }));

const stageSchema = z.object({
  code: stageCodeSchema,
  name: lineSchema(40),
  plain: lineSchema(60),
  /** Done on a machine, so that a hand must be released for it and it can be out of use. */
  machine: z._default(z.boolean(), false),
  /** The catalogue has reminders for it, so the first use on a day asks for a tap. */
  reminds: z._default(z.boolean(), false),
  settles: z._default(settlesSchema, null),
});

/** Stages where something of the pair's way happens; null and empty where the site does without. */
export const waysSchema = z.object({
  /** Done by logging the pair in, and by logging it with what was found on its shoes. */
  receive: z._default(z.nullable(stageCodeSchema), null),
  inspect: z._default(z.nullable(stageCodeSchema), null),
  /** The owner's yes. */
  owner: z.nullable(stageCodeSchema),
  /** The pair of lasts is taken by the first and freed by the second. */
  lastFrom: z.nullable(stageCodeSchema),
  lastTo: z.nullable(stageCodeSchema),
  /** The final check, and where the two shoes and the owner's things are put together. */
  check: z.nullable(stageCodeSchema),
  box: z.nullable(stageCodeSchema),
  /** Left and right must be together again before these. */
  together: listOf(stageCodeSchema, 64),
  /** Colour: done again on both shoes, whichever went back. */
  colour: listOf(stageCodeSchema, 64),
});
export type Ways = z.infer<typeof waysSchema>;

export const NO_WAYS: Ways = {
  receive: null,
  inspect: null,
  owner: null,
  lastFrom: null,
  lastTo: null,
  check: null,
  box: null,
  together: [],
  colour: [],
};

/** What the site's competent person made of one reminder line; `text` null switches it off. */
export const wordingSchema = z.object({
  line: lineSchema(20),
  text: z.nullable(text(1, 60)),
  by: lineSchema(60),
  on: daySchema,
  review: daySchema,
});
export type Wording = z.infer<typeof wordingSchema>;

export const SHIFTS_MAX = 400;

const spanOfTime = { from: instantSchema, to: instantSchema };

/** One shift of one day (`ShiftSpan`); a book from before there were breaks tells neither these nor its day. */
const shiftSchema = z.object({
  name: lineSchema(40),
  /** `2026-12-10`, the site's day on which it begins; empty where the book does not say. */
  day: z._default(written(/^(\d{4}-\d\d-\d\d)?$/, 'is no day'), ''),
  ...spanOfTime,
  breaks: z._default(listOf(z.object(spanOfTime), 8), []),
  overtime: z._default(z.boolean(), false),
});

/** Figures about single persons: whether the site has any, and for how many days they are shown; null for as long as there are records. */
export const personalSchema = z.object({ figures: z.boolean(), keepDays: z.nullable(whole(1, 3660)) });
export type Personal = z.infer<typeof personalSchema>;

export const siteBookSchema = z.object({
  site: siteIdSchema,
  name: lineSchema(80),
  /** An IANA name. */
  timeZone: lineSchema(60),
  /** Grows with every change, so that a tablet knows when to fetch the book again. */
  version: whole(1),
  ticketPattern: z.nullable(ticketPatternSchema),
  /** Whom an operative asks, in the site's words: «Ines Okafor, supervisor». */
  ask: lineSchema(80),
  /** Finishing this stage closes the pair. */
  closingStage: stageCodeSchema,
  /** In the order of the route. */
  stages: listOf(stageSchema, 64),
  /** Every version that a pair may still keep, oldest first; none until the site has routes. */
  routes: z._default(listOf(siteRoutesSchema, 100), []),
  ways: z._default(waysSchema, NO_WAYS),
  operatives: listOf(
    z.object({
      id: operativeIdSchema,
      name: lineSchema(60),
      role: z.enum(ROLES),
      /** The machine stages that this hand is released for; null where the site keeps no list. */
      released: z._default(z.nullable(listOf(stageCodeSchema, 64)), null),
    }),
    2000,
  ),
  /** A badge is known by its hash alone. */
  badges: listOf(
    z.object({ hash: written(/^[0-9a-f]{64}$/, 'has another form'), operative: operativeIdSchema }),
    4000,
  ),
  benches: listOf(
    z.object({ bench: benchIdSchema, name: lineSchema(60), stages: listOf(stageCodeSchema, 12) }),
    1000,
  ),
  racks: z._default(listOf(z.object({ rack: rackSchema, name: lineSchema(40) }), 1000), []),
  /** The site's own wording of the reminders; `version` grows with each change of it. */
  reminders: z._default(z.object({ version: whole(0), wordings: listOf(wordingSchema, 400) }), {
    version: 0,
    wordings: [],
  }),
  personal: z._default(personalSchema, { figures: true, keepDays: null }),
  /** The shifts of the coming weeks as instants, by their beginning, so that a tablet needs no calendar of its own. */
  shifts: listOf(shiftSchema, SHIFTS_MAX),
});

export type SiteBook = z.infer<typeof siteBookSchema>;
export type Stage = SiteBook['stages'][number];
export type Shift = SiteBook['shifts'][number];

/** The holder of a badge by its `codeHash`, or null where the site does not know it or has withdrawn it. */
export function holderOfHash(book: SiteBook, hash: string): OperativeId | null {
  return book.badges.find((badge) => badge.hash === hash)?.operative ?? null;
}

export function nameOf(book: SiteBook, operative: OperativeId | null): string | null {
  return book.operatives.find(({ id }) => id === operative)?.name ?? null;
}

/** The shift that `now` falls in, or null between shifts. */
export function shiftAt(book: SiteBook, now: Instant): Shift | null {
  return book.shifts.find(({ from, to }) => from <= now && now < to) ?? null;
}

/** Whether this hand may run the stage's machine by the site's list. A stage without a machine wants no release. */
export function isReleased(book: SiteBook, operative: OperativeId, stage: StageCode): boolean {
  const machine = book.stages.find(({ code }) => code === stage)?.machine ?? false;
  const list = book.operatives.find(({ id }) => id === operative)?.released ?? null;
  return !machine || list === null || list.includes(stage);
}

export function roleOf(book: SiteBook, operative: OperativeId): Role | null {
  return book.operatives.find(({ id }) => id === operative)?.role ?? null;
}

/** The routes that a pair logged under `version` keeps; null where the site has none. */
export function routesOf(book: SiteBook, version: number | null): SiteRoutes | null {
  const kept = version === null ? undefined : book.routes.find((routes) => routes.version === version);
  return kept ?? book.routes[0] ?? null;
}

/** The routes under which a pair is logged today. */
export function routesNow(book: SiteBook): SiteRoutes | null {
  return book.routes.at(-1) ?? null;
}
