/**
 * What is found at Aldermoor Bench on the shoes and in the work: the catalogue's defects and faults, with how
 * often each turns up here. How often, and which zone, is invented.
 */
import { defectById } from '../src/domain/catalogue/defects.ts';
import { faultById } from '../src/domain/catalogue/faults.ts';
import { asStageCode, type StageCode } from '../src/domain/ids.ts';
import type { Weight } from '../src/domain/record/kinds.ts';

/** A note to come. */
export interface Finding {
  readonly weight: Weight;
  readonly text: string;
  /** The catalogue's defect; null for an instruction. */
  readonly defect: string | null;
  /** A zone of the catalogue, or null for the whole shoe. */
  readonly zone: string | null;
  readonly seeAt: readonly StageCode[];
  /** The stage here that cures it; null where nothing does. */
  readonly cureAt: StageCode | null;
}

/** Where a hand is shown it: where it must be seen, and where it can be cured. */
export function isSeenAt({ seeAt, cureAt }: Pick<Finding, 'seeAt' | 'cureAt'>, stage: StageCode): boolean {
  return seeAt.includes(stage) || cureAt === stage;
}

/** Found at the inspection, by weight: defect, zone, the stage that cures it, how often. */
const FOUND: Readonly<Record<Weight, readonly string[]>> = {
  mind: [
    'vamp-crease  | -                     | -   | 4',
    'toe-scuff    | upper-toecap          | -   | 5',
    'salt-mark    | upper-toecap          | -   | 4',
    'colour-loss  | upper-counter         | -   | 3',
  ],
  mend: [
    'sole-thin    | bottom-tread-outside  | LAY | 6',
    'sole-hole    | bottom-tread-inside   | LAY | 3',
    'toe-worn     | bottom-toe            | LAY | 5',
    'cork-gone    | opened-cork           | CRK | 4',
    'sole-gape    | edge-toe              | STI | 3',
    'heel-worn    | bottom-heel-back      | TOP | 7',
    'sole-stitch-rot | bottom-edge-line   | STI | 3',
    'lining-heel  | inside-back-lining    | CLO | 2',
    'tongue-torn  | upper-tongue          | CLO | 1',
    'seam-open    | upper-back            | CLO | 2',
    'leather-dry  | -                     | CLN | 3',
  ],
  ask: [
    'waist-crack  | bottom-waist-inside   | SHK | 3',
    'heel-loose   | inside-seat           | HAT | 3',
    'welt-torn-short | edge-forepart-outside | WLT | 3',
    'pitch-wrong  | bottom-heel-outside   | TOP | 2',
    'old-repair   | edge-waist-outside    | -   | 3',
  ],
  stop: [
    'insole-hole  | inside-insole-forepart | RIB | 3',
    'feather-cut  | upper-feather-line    | CLO | 2',
    'welt-stitch-rot | opened-welt-seam   | WLT | 2',
  ],
};

/** The site's own instruction, no defect. */
const EDGES_DARK: Finding = {
  weight: 'mind',
  text: 'Owner wants the edges dark',
  defect: null,
  zone: null,
  seeAt: [asStageCode('EST')],
  cureAt: null,
};

/** What can be found, with how often. */
export const FINDINGS: readonly (readonly [Finding, number])[] = [
  ...(Object.entries(FOUND) as [Weight, readonly string[]][]).flatMap(([weight, rows]) =>
    weight === 'stop' ? [] : rows.map((row) => findingOf(row, weight)),
  ),
  [EDGES_DARK, 4],
];

/** Each halts the pair until a supervisor lets it go on. */
export const STOPS: readonly (readonly [Finding, number])[] = FOUND.stop.map((row) => findingOf(row, 'stop'));

/** Found at the strip-down, when more is seen than was agreed on. */
export const UNDER_THE_SOLE: Finding = findingOf('rib-loose | opened-rib | RIB | 1', 'stop')[0];
/** Found once the insole was mended: only the owner can say. */
export const UNDER_THE_INSOLE: Finding = findingOf('pair-odd | - | - | 1', 'ask')[0];

/** A fault of the catalogue as it turns up here. */
export interface FaultHere {
  readonly id: string;
  readonly foundAt: StageCode;
  readonly backTo: StageCode;
  readonly again: readonly StageCode[];
  readonly bothShoes: boolean;
  readonly reason: string;
  /** Of the pairs that come to `foundAt`. */
  readonly share: number;
}

export const FAULTS_HERE: readonly FaultHere[] = [
  'w-inseam-cut   | BEA | WLT | 0.020',
  'w-welt-missed  | INT | WLT | 0.015',
  'w-cork-lump    | LAY | CRK | 0.015',
  'w-sole-askew   | RND | LAY | 0.015',
  'w-stitch-skip  | LEV | STI | 0.020',
  'w-stitch-out   | LEV | STI | 0.010',
  'w-scour-mark   | EST | SC1 | 0.010',
  'w-edge-gouge   | EST | ETR | 0.010',
  'w-heel-odd     | CHK | TOP | 0.015',
  'w-stain-odd    | CHK | EST | 0.020',
  'w-scorch       | CHK | ETR | 0.010',
  'w-nail-in      | CHK | HAT | 0.010',
  'w-stain-upper  | CHK | UCL | 0.025',
].map(faultOf);

export const SET_ASIDE_REASONS: readonly string[] = [
  'Last in use by another pair',
  "Waiting for the owner's answer",
  'Welt in this colour not in the house',
  'Sole of this substance not in the house',
  'Upper still damp',
  'Thread in this colour used up',
];

function findingOf(row: string, weight: Weight): readonly [Finding, number] {
  const [id = '', zone = '', cureAt = '', often = ''] = row.split('|').map((cell) => cell.trim());
  const defect = defectById(id);
  if (defect === undefined) throw new Error(`"${id}" is no defect`);
  const finding: Finding = {
    weight,
    text: defect.name,
    defect: id,
    zone: zone === '-' ? null : zone,
    seeAt: defect.seeAt,
    cureAt: cureAt === '-' ? null : asStageCode(cureAt),
  };
  return [finding, Number(often)];
}

function faultOf(row: string): FaultHere {
  const [id = '', foundAt = '', backTo = '', share = ''] = row.split('|').map((cell) => cell.trim());
  const fault = faultById(id);
  if (fault === undefined) throw new Error(`"${id}" is no fault`);
  return {
    id,
    foundAt: asStageCode(foundAt),
    backTo: asStageCode(backTo),
    again: fault.again,
    bothShoes: fault.bothShoes,
    reason: fault.name,
    share: Number(share),
  };
}
