/**
 * The shift sheet for the desk.
 *
 * - `GET /api/shifts?before=INSTANT` the shifts that began before then, newest first
 * - `GET /api/sheet?shift=INSTANT` the sheet of the shift that began at that instant
 * - `GET /api/sheet/behind?shift=INSTANT&figure=NAME&of=CODE` what a number counts, with its records
 * - `GET /api/sheet/look-back?shift=INSTANT` how the shift stands against the weeks before it
 * - `POST /api/sheet/behind` the same for a number of one person, for the holder of a badge
 * - `POST /api/sheet/hands` who worked how long, for the holder of a badge: a supervisor sees all, anybody else their own
 * - `GET /api/forecast` when each open pair should be ready
 *
 * While the figures of a large ledger are still being computed for the first time, each of them answers 202 and how
 * far that is.
 */
import * as z from 'zod/mini';
import { HAND_FIGURES } from '../domain/figures/members-of.ts';
import type { HangsOn } from '../domain/forecast/forecast.ts';
import { instantSchema } from '../domain/instant.ts';
import {
  benchIdSchema,
  operativeIdSchema,
  pairIdSchema,
  stageCodeSchema,
} from '../domain/record/envelope.ts';
import { daySchema } from '../domain/record/kind.ts';
import { text, whole } from '../domain/shapes.ts';
import { ledgerStateSchema } from './ledger-state.ts';

/** Pairs, in halves: one shoe counts ½. */
const pairsSchema = z.number().check(z.minimum(0), z.multipleOf(0.5));
const shareSchema = z.nullable(z.number());
/** Milliseconds, whole or not. */
const msSchema = z.nullable(z.number().check(z.minimum(0)));

const spanSchema = z.object({ from: instantSchema, to: instantSchema });

export const shiftSpanSchema = z.object({
  name: z.string(),
  day: daySchema,
  from: instantSchema,
  to: instantSchema,
  breaks: z.array(spanSchema),
  overtime: z.boolean(),
});
export type ShiftSpanWire = z.infer<typeof shiftSpanSchema>;

/** 202: the figures are being computed for the first time, or by new rules. */
export const preparingSchema = z.object({ preparing: z.object({ done: whole(0), of: whole(0) }) });
export type Preparing = z.infer<typeof preparingSchema>;

export const shiftsAnswerSchema = z.object({ shifts: z.array(shiftSpanSchema) });
export type ShiftsAnswer = z.infer<typeof shiftsAnswerSchema>;

const spreadSchema = z.object({ median: msSchema, ninth: msSchema, count: whole(0) });

const stageLineSchema = z.object({
  stage: stageCodeSchema,
  name: z.string(),
  in: pairsSchema,
  out: pairsSchema,
  sentBackFrom: pairsSchema,
  sentBackTo: pairsSchema,
  /** Of `out`, those not sent back to here since. */
  firstPass: pairsSchema,
  touch: spreadSchema,
  wait: spreadSchema,
  waiting: pairsSchema,
  oldest: z.nullable(z.object({ pair: pairIdSchema, since: instantSchema })),
  endUnknown: pairsSchema,
  utilisation: shareSchema,
});
export type StageLine = z.infer<typeof stageLineSchema>;

const handLineSchema = z.object({
  hand: operativeIdSchema,
  name: z.nullable(z.string()),
  onMs: z.number(),
  touchMs: z.number(),
  stages: z.array(z.object({ stage: stageCodeSchema, name: z.string(), out: pairsSchema })),
});

export const sheetAnswerSchema = z.object({
  state: ledgerStateSchema,
  shift: shiftSpanSchema,
  /** What «now» means on the sheet: the end of the shift, or the moment of asking while it runs. */
  at: instantSchema,
  /** Beginnings of the shifts next to it; null where there is none. */
  before: z.nullable(instantSchema),
  after: z.nullable(instantSchema),
  stages: z.array(stageLineSchema),
  /** How many hands were on. */
  handsOn: whole(0),
  /** Whether there are figures about single persons to be asked for: the site may have none, or have let them lapse. */
  personal: z.enum(['asked-for', 'off', 'lapsed']),
  line: z.object({
    inWork: pairsSchema,
    boxed: pairsSchema,
    rolledYield: shareSchema,
    little: z.object({
      from: instantSchema,
      to: instantSchema,
      inWork: z.number(),
      perDay: z.number(),
      leadDays: z.nullable(z.number()),
      closes: shareSchema,
    }),
    holdsBack: z.nullable(
      z.object({
        stage: stageCodeSchema,
        name: z.string(),
        waiting: pairsSchema,
        oldest: instantSchema,
        queueMs: msSchema,
        utilisation: shareSchema,
      }),
    ),
  }),
  /** Records by which times within the shift were put right. */
  amended: whole(0),
});
export type SheetAnswer = z.infer<typeof sheetAnswerSchema>;

/** The badge goes in the body, never in an address. */
export const handsQuerySchema = z.object({ shift: instantSchema, badge: text(1, 100) });

/** `unknown-badge`: the site knows no holder. `off`, `lapsed`: as on the sheet. */
export const handsAnswerSchema = z.discriminatedUnion('is', [
  z.object({ is: z.enum(['unknown-badge', 'off', 'lapsed']) }),
  z.object({
    is: z.literal('hands'),
    holder: z.object({ hand: operativeIdSchema, name: z.nullable(z.string()), all: z.boolean() }),
    hands: z.array(handLineSchema),
  }),
]);
export type HandsAnswer = z.infer<typeof handsAnswerSchema>;

/** `POST /api/sheet/behind` for the numbers of one person: for the holder of that badge, as above. */
export const handBehindQuerySchema = z.object({
  shift: instantSchema,
  badge: text(1, 100),
  figure: z.enum(HAND_FIGURES),
  of: operativeIdSchema,
});

export const behindAnswerSchema = z.object({
  members: z.array(
    z.object({
      pair: pairIdSchema,
      share: z.number(),
      ms: msSchema,
      /** As the ledger holds them. */
      records: z.array(z.unknown()),
    }),
  ),
  /** Members beyond the first so many are not listed. */
  more: whole(0),
});
export type BehindAnswer = z.infer<typeof behindAnswerSchema>;

export const lookBackAnswerSchema = z.object({
  stages: z.array(
    z.object({
      stage: stageCodeSchema,
      /** Pairs out in each of the last shifts, the oldest first, this one last. */
      shifts: z.array(z.object({ from: instantSchema, out: pairsSchema })),
      /** Individuals chart of the days: natural limits null where there are too few days for them. */
      days: z.array(z.object({ day: daySchema, out: pairsSchema, outside: z.boolean() })),
      limits: z.nullable(z.object({ mean: z.number(), lower: z.number(), upper: z.number() })),
      /** How many waited here over the shift: a step at each change. */
      queue: z.array(z.object({ at: instantSchema, waiting: pairsSchema })),
    }),
  ),
  /**
   * Pairs that have left the works by the end of each hour of the shift, null for hours still to come; and by then on the
   * usual such weekday, null where that is not known.
   */
  hours: z.array(
    z.object({ at: instantSchema, boxed: z.nullable(pairsSchema), usual: z.nullable(z.number()) }),
  ),
  /** Work at each bench over the shift. */
  strips: z.array(
    z.object({
      bench: benchIdSchema,
      name: z.string(),
      spells: z.array(
        z.object({
          pair: pairIdSchema,
          stage: stageCodeSchema,
          from: instantSchema,
          to: z.nullable(instantSchema),
          timed: z.boolean(),
          outcome: z.enum(['open', 'done', 'not-finished']),
        }),
      ),
    }),
  ),
});
export type LookBackAnswer = z.infer<typeof lookBackAnswerSchema>;

/** What a pair spends most of its way on: the queue of a stage, or something that no hand can hurry. */
export const HANGS_ON = [
  'queue',
  'owner',
  'last',
  'settling',
  'set-aside',
  'sent-back',
  'work',
] as const satisfies readonly HangsOn['on'][];

const pairForecastSchema = z.object({
  pair: pairIdSchema,
  promised: z.nullable(daySchema),
  /** Ready by this day in half of the runs, in one and in nine of ten; null beyond the calendar, or where it will not be made ready. */
  ready: z.nullable(daySchema),
  early: z.nullable(daySchema),
  late: z.nullable(daySchema),
  /** Share of the runs in which the promise is kept; null without one. */
  keeps: shareSchema,
  hangsOn: z.nullable(z.object({ on: z.enum(HANGS_ON), stage: z.nullable(stageCodeSchema) })),
  /** Some of the lengths that it rests on are assumed: the site has met them too seldom. */
  assumed: z.boolean(),
});
export type PairForecast = z.infer<typeof pairForecastSchema>;

export const forecastAnswerSchema = z.object({
  /** The moment it was reckoned for, and what it rests on. */
  at: instantSchema,
  basis: z.object({ spells: whole(0), weeks: z.number(), runs: whole(0) }),
  pairs: z.array(pairForecastSchema),
  /** Those of them that will hardly keep their promise, the least likely first. */
  atRisk: z.array(pairIdSchema),
});
export type ForecastAnswer = z.infer<typeof forecastAnswerSchema>;
