/** What is remembered between starts, one row a setting, each read with a schema: a row may be years old. */
import * as z from 'zod/mini';
import { CURSOR_START, cursorSchema } from '../../domain/cursor.ts';
import { instantSchema } from '../../domain/instant.ts';
import { stageCodeSchema } from '../../domain/record/envelope.ts';
import { whole } from '../../domain/shapes.ts';
import { siteBookSchema } from '../../domain/site-book.ts';
import { enrolAnswerSchema } from '../../wire/enrol.ts';
import { LedgerFailure, type Settings } from './ledger.ts';

export type SettingName = keyof Settings;

const schemas: { readonly [Name in SettingName]: z.ZodMiniType<Settings[Name]> } = {
  enrolment: z.nullable(
    z.pick(enrolAnswerSchema, {
      site: true,
      dataset: true,
      bench: true,
      place: true,
      name: true,
      key: true,
      lane: true,
    }),
  ),
  book: z.nullable(siteBookSchema),
  stages: z.array(stageCodeSchema),
  offsets: z.array(z.object({ offsetMs: z.number(), delayMs: z.number() })),
  cursor: cursorSchema,
  epoch: z.nullable(z.string()),
  ticketCounter: whole(0),
  cameraId: z.nullable(z.string()),
  readIn: z.boolean(),
  forgotAt: z.nullable(instantSchema),
};

const ABSENT: Settings = {
  enrolment: null,
  book: null,
  stages: [],
  offsets: [],
  cursor: CURSOR_START,
  epoch: null,
  ticketCounter: 0,
  cameraId: null,
  readIn: false,
  forgotAt: null,
};

export const SETTING_NAMES = Object.keys(ABSENT) as readonly SettingName[];

/** Where these stand in a store that packs pairs: see `packs.ts`. */
export const PACKED = { cursor: 'cursor over packs', readIn: 'read in with packs' } as const;

/** Told about a row that cannot be read and is taken as absent. */
export type Report = (setting: SettingName, reasons: string) => void;

/**
 * The settings from the rows of the store.
 * @throws LedgerFailure `unreadable` where the enrolment cannot be read: a tablet must not forget who it is and
 *   be enrolled anew over an outbox that still waits
 */
export function settingsFrom(rows: ReadonlyMap<string, unknown>, report: Report): Settings {
  function read<Name extends SettingName>(name: Name): Settings[Name] {
    const row = rows.get(name);
    if (row === undefined) return ABSENT[name];
    const setting = schemas[name].safeParse(row);
    if (setting.success) return setting.data;
    if (name === 'enrolment') throw new LedgerFailure('unreadable', { cause: setting.error });
    report(name, z.prettifyError(setting.error));
    return ABSENT[name];
  }
  return {
    enrolment: read('enrolment'),
    book: read('book'),
    stages: read('stages'),
    offsets: read('offsets'),
    cursor: read('cursor'),
    epoch: read('epoch'),
    ticketCounter: read('ticketCounter'),
    cameraId: read('cameraId'),
    readIn: read('readIn'),
    forgotAt: read('forgotAt'),
  };
}

/** The cursor alone, for a transaction that is open. */
export function cursorFrom(row: unknown): Settings['cursor'] {
  const cursor = cursorSchema.safeParse(row ?? CURSOR_START);
  return cursor.success ? cursor.data : CURSOR_START;
}

/**
 * What tickets are issued by, for a transaction that is open; null where the tablet is not enrolled.
 * @throws LedgerFailure `unreadable` where the counter cannot be read: no number may be given twice
 */
export function laneFrom(
  enrolmentRow: unknown,
  counterRow: unknown,
): { readonly lane: number; readonly counter: number } | null {
  const enrolment = schemas.enrolment.safeParse(enrolmentRow ?? null);
  const counter = schemas.ticketCounter.safeParse(counterRow ?? ABSENT.ticketCounter);
  if (!enrolment.success || !counter.success)
    throw new LedgerFailure('unreadable', { cause: enrolment.error });
  return enrolment.data === null ? null : { lane: enrolment.data.lane, counter: counter.data };
}
