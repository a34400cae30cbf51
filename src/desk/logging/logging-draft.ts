/** A pair that is being logged in: what has been entered so far, as the browser keeps it. */
import * as z from 'zod/mini';
import { pairIdSchema, stageCodeSchema } from '../../domain/record/envelope.ts';
import { JOBS, SHOES, WEIGHTS } from '../../domain/record/kinds.ts';
import { conditionSchema, PHOTO_TYPES } from '../../domain/record/office-kinds.ts';
import { listOf, text, whole, written } from '../../domain/shapes.ts';

/** Longer than any field may be: what is too long is said beside the field, and kept until it is mended. */
const entered = text(0, 400);

export const YES = ['to-ask', 'given', 'not-wanted'] as const;
export type Yes = (typeof YES)[number];

const shoeConditionSchema = z.object({
  sole: z.nullable(conditionSchema.shape.sole),
  welt: z.nullable(conditionSchema.shape.welt),
  heel: z.nullable(conditionSchema.shape.heel),
});

const noteSchema = z.object({
  /** Tells the notes of one draft apart. */
  key: whole(1),
  shoe: z.enum(SHOES),
  zone: z.nullable(text(1, 40)),
  side: z.nullable(z.enum(['inside', 'outside'])),
  /** The catalogue's; null for a note in own words. */
  defect: z.nullable(text(1, 40)),
  weight: z.enum(WEIGHTS),
  text: entered,
});
export type DraftNote = z.infer<typeof noteSchema>;

const pictureSchema = z.object({
  photo: written(/^[0-9a-f]{64}$/, 'has another form'),
  bytes: whole(1),
  type: z.enum(PHOTO_TYPES),
});

export const loggingDraftSchema = z.object({
  /** A number typed or scanned, for a pair that has its ticket already. */
  ticket: entered,
  /** The new number that this pair has been given; it keeps it through failure and reload. */
  issued: z.nullable(pairIdSchema),
  ownerRef: entered,
  style: entered,
  last: entered,
  size: entered,
  fitting: entered,
  maker: entered,
  asked: entered,
  withPair: listOf(entered, 24),
  condition: z.object({ left: shoeConditionSchema, right: shoeConditionSchema }),
  notes: listOf(noteSchema, 60),
  photos: listOf(pictureSchema, 30),
  job: z.nullable(z.enum(JOBS)),
  /** Null until somebody has chosen: then what the job makes usual. */
  yes: z.nullable(z.enum(YES)),
  promised: z.nullable(entered),
  /** The past day that was said to be meant. */
  pastMeant: z.nullable(entered),
  /** Proposed stages that somebody has unticked. */
  stagesLeft: listOf(stageCodeSchema, 64),
});
export type LoggingDraft = z.infer<typeof loggingDraftSchema>;

const NOT_SAID = { sole: null, welt: null, heel: null };

export const EMPTY_DRAFT: LoggingDraft = {
  ticket: '',
  issued: null,
  ownerRef: '',
  style: '',
  last: '',
  size: '',
  fitting: '',
  maker: '',
  asked: '',
  withPair: [],
  condition: { left: NOT_SAID, right: NOT_SAID },
  notes: [],
  photos: [],
  job: null,
  yes: null,
  promised: null,
  pastMeant: null,
  stagesLeft: [],
};

/** Whether nothing has been entered. */
export function isEmpty(draft: LoggingDraft): boolean {
  return JSON.stringify({ ...draft, issued: null }) === JSON.stringify(EMPTY_DRAFT);
}

/** As a record takes it: one line, no control characters, no half characters, no blanks around it. */
export function asLine(text: string): string {
  return text
    .replace(/[\p{Cc}\p{Zl}\p{Zp}]+/gu, ' ')
    .replace(/\p{Cs}/gu, '')
    .trim();
}
