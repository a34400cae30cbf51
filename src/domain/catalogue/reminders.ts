/**
 * Which reminders belong to which stage: 20 kinds. What a stage shows comes most particular first, so that two
 * or three shown at scan-in are its own; the rest take turns. Stages without a line of their own show none.
 */
import type { StageCode } from '../ids.ts';
import type { PictogramId } from './pictograms.ts';
import { REMINDER_LINES, type ReminderLine } from './reminder-lines.ts';
import { STAGES, stageCodesIn } from './stages.ts';
import { oneOf, table } from './table.ts';

/** Stands on every page that shows reminders. */
export const CAUTION: { readonly short: string; readonly long: string; readonly pictogram: PictogramId } = {
  short: 'Site assessment and machine manual come first.',
  long:
    'These are reminders, not a risk assessment or training. If they differ from local law, the machine’s ' +
    'manual or this site’s risk assessment, follow those and tell the supervisor.',
  pictogram: 'read-manual',
};

export interface ReminderKind {
  readonly id: string;
  readonly title: string;
  /** Stages that show the kind. */
  readonly stages: readonly StageCode[];
  readonly hazards: string;
  readonly lines: readonly ReminderLine[];
}

/**
 * Besides the stages named, `machines` reaches every stage that a machine may do and `company` every stage
 * that has some other reminder.
 */
const REACH = ['stages', 'machines', 'company'] as const;

const ROWS = table(
  'reminder kinds',
  ['id', 'title', 'reach', 'stages', 'hazards'],
  `
INSEAM | Welt sewing                       | stages   | WLT             | needle and awl, broken needle, trapped fingers, hot wax, treadle start
STITCH | Sole stitching                    | stages   | STI             | needle and awl, channel or welt knife, hot wax and heated parts, treadle start
INTRIM | Inseam trimming                   | stages   | INT             | fast rotary knife, runs on after the stop, trimmings thrown
BEAT   | Beating, levelling, hammering     | stages   | BEA LEV         | crushed fingers, noise, vibration through the held shoe
ROUND  | Rough rounding and channelling    | stages   | RND             | knife, trimmings, noise, dust
PRESS  | Sole press and heel press         | stages   | LAY HBL         | crushing
TRIM   | Edge trimming                     | stages   | ETR             | very fast cutter, snatch, thrown chips, noise, dust
SCOUR  | Scouring bands and wheels         | stages   | SC1 SC2 BSC     | skin contact, drawing in, band break, leather dust, sparks from nails, noise
HEEL   | Heel and seat nailing             | stages   | HAT SNA TOP     | crushing, flying nails, air pressure, noise
SLIP   | Slipping the last                 | stages   | SLP             | sudden release, fingers in the hinge, strain
HOT    | Hot wax, edge iron, hot tools     | stages   | WAX DET         | burns, fire near solvents, fumes
SOLV   | Stain, cement, thinners           | stages   | RIB CLO SEA SHK PRP LAY LEV HBL TOP EST BST UCL CLN SOK | vapour, skin, fire, spills
KNIFE  | Knife, skiving, splitting         | stages   | PUL INT SEA PRP BRS | cuts, nip of the skiving machine
MOP    | Polishing brush and mop           | stages   | EPL UPL         | drawing in, shoe snatched, dust
CLOSE  | Closing machines                  | stages   | CLO             | needle through a finger, broken needle
LAST   | Lasting                           | stages   | LAS FND         | pincers slip, tacks, hot parts and crushing on machines
HAND   | Hand tools, nails, shank, cork    | stages   | PUL SHK CRK SEA HBL BRS | flying nails, struck thumb, awl stab, hot filling
MOULD  | Dirty, wet or mouldy pairs        | stages   | REC CLN PUL     | spores, infection, skin
GEN    | Every machine                     | machines | -               | drawing in, entanglement, unexpected start, untrained use
LIFT   | Racks, lasts, moving pairs        | company  | REC FND BOX DSP | strain, trips, falling lasts
`,
  (row) => ({
    id: row.id,
    title: row.title,
    reach: oneOf(REACH, row.reach),
    stages: stageCodesIn(row.stages),
    hazards: row.hazards,
  }),
);

/** Lines that one stage more than their kind's shows: nails are felt for again at the final check. */
const SHOWN_ALSO: readonly (readonly [string, readonly StageCode[]])[] = [['HEEL-6', stageCodesIn('CHK')]];

const MACHINE_STAGES = STAGES.filter(({ how }) => how === 'machine' || how === 'either').map(
  ({ code }) => code,
);
const KEEPING_COMPANY = new Set([
  ...ROWS.flatMap((row) => row.stages),
  ...MACHINE_STAGES,
  ...SHOWN_ALSO.flatMap(([, stages]) => stages),
]);

/** Most particular first: the order in which a stage shows them. */
export const REMINDER_KINDS: readonly ReminderKind[] = ROWS.map(({ reach, ...kind }) => ({
  ...kind,
  stages: reach === 'stages' ? kind.stages : reach === 'machines' ? MACHINE_STAGES : [...KEEPING_COMPANY],
  lines: REMINDER_LINES.filter((line) => line.id.startsWith(`${kind.id}-`)),
}));

const linesByStage = new Map(STAGES.map(({ code }) => [code, linesFor(code)]));

function linesFor(stage: StageCode): readonly ReminderLine[] {
  const also = SHOWN_ALSO.filter(([, stages]) => stages.includes(stage)).map(([id]) => id);
  return REMINDER_KINDS.flatMap((kind) =>
    kind.stages.includes(stage) ? kind.lines : kind.lines.filter((line) => also.includes(line.id)),
  );
}

/** Every line that the stage shows, most particular first; none for a stage that the catalogue does not know. */
export const remindersFor = (stage: StageCode): readonly ReminderLine[] => linesByStage.get(stage) ?? [];
