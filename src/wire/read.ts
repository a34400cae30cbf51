/**
 * The read interface for programs outside, under /api/read/v1: what a reader's token or a desk's key may ask, and what is
 * answered. These schemas are also its published description, GET /api/read/v1/openapi.json.
 *
 * - Times are RFC 3339, to the millisecond and in UTC unless a name says otherwise. Days are the site's calendar days.
 * - Hands are called by pseudonyms, the same at every time of asking. A desk may ask for names.
 * - Fields may be added; none changes its meaning or goes away within v1.
 */
import * as z from 'zod/mini';
import { CURSOR_START } from '../domain/cursor.ts';
import { daySchema } from '../domain/record/kind.ts';
import { JOBS, SHOES, SIDES, WEIGHTS } from '../domain/record/kinds.ts';
import { whole, written } from '../domain/shapes.ts';

export const READ_BASE = '/api/read/v1';
export const READ_RECORDS_MAX = 1000;
/** Days of the calendar that one list of shifts covers. */
export const READ_SHIFT_DAYS_MAX = 400;

const cursorText = written(/^([0-9a-f]{8,32}\.\d{1,15})?$/, 'is no cursor');
const timeSchema = z.iso.datetime({ precision: 3 });
/** A time in a path, to the millisecond or not. */
export const readTimeSchema = z.iso.datetime();
/** With the offset of the site's zone. */
const siteTimeSchema = z.iso.datetime({ precision: 3, offset: true });
const shoeSchema = z.enum(SHOES);

/** `names` is for desks alone. */
export const handsShape = { hands: z._default(z.enum(['pseudonyms', 'names']), 'pseudonyms') };

export const readHandsQuerySchema = z.object(handsShape);

export const readRecordsQuerySchema = z.object({
  after: z._default(cursorText, CURSOR_START),
  limit: z._default(z.coerce.number().check(z.int(), z.minimum(1), z.maximum(READ_RECORDS_MAX)), 500),
  ...handsShape,
});

/** Both days are included. */
const daysShape = { from: daySchema, to: daySchema };
export const readDaysQuerySchema = z.object(daysShape);
export const readExportQuerySchema = z.object({ ...daysShape, ...handsShape });

const readRecordSchema = z.object({
  id: z.string(),
  /** 1, 2, 3 … in the order in which the server got them. */
  position: whole(1),
  kind: z.string(),
  pair: z.nullable(z.string()),
  stage: z.nullable(z.string()),
  bench: z.string(),
  benchName: z.nullable(z.string()),
  /** Null where nobody was badged on. */
  hand: z.nullable(z.string()),
  at: timeSchema,
  atSite: siteTimeSchema,
  /** False where the tablet had never compared its clock with the server's. */
  clockKnown: z.boolean(),
  /** 1, 2, 3 … at its bench. */
  number: whole(1),
  /** The kind's own fields; null for a kind that is newer than this server. */
  said: z.nullable(z.record(z.string(), z.unknown())),
});
export type ReadRecord = z.infer<typeof readRecordSchema>;

export const readRecordsAnswerSchema = z.object({
  records: z.array(readRecordSchema),
  /** To go on after. */
  cursor: cursorText,
  more: z.boolean(),
  /** The cursor that was asked for is void, since the ledger was put back from a copy: reading began anew. */
  fromStart: z.boolean(),
});
export type ReadRecordsAnswer = z.infer<typeof readRecordsAnswerSchema>;

const readSpellSchema = z.object({
  id: z.string(),
  stage: z.string(),
  stageName: z.nullable(z.string()),
  shoe: shoeSchema,
  bench: z.string(),
  benchName: z.nullable(z.string()),
  hand: z.nullable(z.string()),
  joined: z.array(z.object({ hand: z.string(), as: z.enum(['beside', 'answers']) })),
  from: timeSchema,
  to: z.nullable(timeSchema),
  /** Elapsed, breaks included; null where it is not known. */
  minutes: z.nullable(z.number()),
  outcome: z.enum(['open', 'done', 'not-finished']),
  /** On which shoe the finished stage was asked for again. */
  sentBack: z.enum(['no', 'left', 'right', 'both']),
});

const readNoteSchema = z.object({
  id: z.string(),
  shoe: shoeSchema,
  zone: z.nullable(z.string()),
  weight: z.enum(WEIGHTS),
  text: z.string(),
  made: timeSchema,
  cured: z.nullable(timeSchema),
  released: z.nullable(timeSchema),
});

const readDetailsSchema = z.object({
  job: z.enum(JOBS),
  ownerRef: z.string(),
  style: z.string(),
  last: z.string(),
  size: z.string(),
  fitting: z.string(),
  promised: daySchema,
  maker: z.nullable(z.string()),
  asked: z.nullable(z.string()),
});

export const readPairAnswerSchema = z.object({
  pair: z.string(),
  /** Null where the pair was never logged: then nothing below is known of it. */
  logged: z.nullable(timeSchema),
  details: z.nullable(readDetailsSchema),
  ownersYes: z.object({
    is: z.enum(['not-asked', 'asked', 'given', 'stopped']),
    since: z.nullable(timeSchema),
    why: z.nullable(z.string()),
  }),
  inWorks: z.boolean(),
  closed: z.nullable(timeSchema),
  handedBack: z.nullable(timeSchema),
  setAside: z.nullable(z.object({ since: timeSchema, stage: z.string(), why: z.string() })),
  /** Which shoe travels alone. */
  parted: z.nullable(z.enum(SIDES)),
  rack: z.nullable(z.string()),
  onLast: z.nullable(z.string()),
  spells: z.array(readSpellSchema),
  notes: z.array(readNoteSchema),
  /** What contradicts itself. */
  flags: z.array(z.object({ flag: z.string(), record: z.string() })),
  /** Every record of the pair, in the order in which it counts. */
  account: z.array(
    z.object({
      record: readRecordSchema,
      words: z.string(),
      /** The record that takes this one back. */
      takenBackBy: z.nullable(z.string()),
    }),
  ),
});
export type ReadPairAnswer = z.infer<typeof readPairAnswerSchema>;

const spanShape = { from: timeSchema, to: timeSchema };
const readShiftSchema = z.object({
  name: z.string(),
  /** The day on which it begins. */
  day: daySchema,
  ...spanShape,
  fromSite: siteTimeSchema,
  toSite: siteTimeSchema,
  breaks: z.array(z.object(spanShape)),
  overtime: z.boolean(),
});
export type ReadShift = z.infer<typeof readShiftSchema>;

export const readShiftsAnswerSchema = z.object({ shifts: z.array(readShiftSchema) });
export type ReadShiftsAnswer = z.infer<typeof readShiftsAnswerSchema>;

/** A number and what it counts: one shoe of a pair counts ½. */
const figureSchema = z.object({
  pairs: z.number(),
  of: z.array(z.object({ pair: z.string(), share: z.number(), records: z.array(z.string()) })),
});
const spreadSchema = z.object({
  medianMinutes: z.nullable(z.number()),
  ninthDecileMinutes: z.nullable(z.number()),
  count: whole(0),
});
const shareSchema = z.nullable(z.number());

export const readSheetAnswerSchema = z.object({
  shift: readShiftSchema,
  /** What «now» means on the sheet: the end of the shift, or the moment of asking while it runs. */
  at: timeSchema,
  stages: z.array(
    z.object({
      stage: z.string(),
      stageName: z.nullable(z.string()),
      in: figureSchema,
      out: figureSchema,
      sentBackFrom: figureSchema,
      sentBackTo: figureSchema,
      firstPassYield: shareSchema,
      touch: spreadSchema,
      wait: spreadSchema,
      waiting: figureSchema,
      /** In work at `at`. */
      working: figureSchema,
      oldest: z.nullable(z.object({ pair: z.string(), since: timeSchema })),
      endUnknown: figureSchema,
      utilisation: shareSchema,
    }),
  ),
  line: z.object({
    inWork: figureSchema,
    boxed: figureSchema,
    /** Left the works unfinished. */
    handedBack: figureSchema,
    rolledYield: shareSchema,
    /** Little's law, over the days that the sheet looks back on. */
    little: z.object({
      ...spanShape,
      inWork: z.number(),
      perDay: z.number(),
      leadDays: z.nullable(z.number()),
      closes: shareSchema,
    }),
    holdsBack: z.nullable(
      z.object({
        stage: z.string(),
        waiting: z.number(),
        oldest: timeSchema,
        queueMinutes: z.nullable(z.number()),
        utilisation: shareSchema,
      }),
    ),
  }),
});
export type ReadSheetAnswer = z.infer<typeof readSheetAnswerSchema>;

/** 202: the figures of a large ledger are being computed for the first time. Ask again. */
export const readPreparingSchema = z.object({ preparing: z.object({ done: whole(0), of: whole(0) }) });
