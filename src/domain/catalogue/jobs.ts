/**
 * The kinds of job and the stages that each takes. Common practice; where a long sole ends and a new sole on
 * the old welt begins differs from house to house. Half-sole steps: training.gov.au, unit MSTFR2004.
 */
import type { StageCode } from '../ids.ts';
import { STAGES, stageCodesIn } from './stages.ts';
import { table } from './table.ts';

export const JOB_CODES = ['HL', 'HF', 'LG', 'RS', 'FB'] as const;
export type JobCode = (typeof JOB_CODES)[number];

export interface Job {
  readonly code: JobCode;
  readonly name: string;
  /** What it comes to, for an owner. */
  readonly plain: string;
}

export const JOBS: readonly Job[] = [
  { code: 'HL', name: 'Heel only', plain: 'new top pieces, or new heels' },
  { code: 'HF', name: 'Half sole', plain: 'new foreparts to the waist, the old seats kept' },
  { code: 'LG', name: 'Long sole', plain: 'new soles right through, the welts kept' },
  {
    code: 'RS',
    name: 'Sole on the old welt',
    plain: 'new soles and heels on their own last, the welts kept',
  },
  { code: 'FB', name: 'Full rebuild', plain: 'new welts, cork, soles and heels on their own last' },
];

/** `variant`: what the stage comes to on this job, where it is not the whole of it. */
export interface JobStage {
  readonly need: 'always' | 'if-needed' | 'never';
  readonly variant: string | null;
}

const NEEDS: Readonly<Record<string, JobStage['need']>> = { '+': 'always', '?': 'if-needed', '.': 'never' };

const VARIANTS: Readonly<Record<string, string>> = {
  h: 'heel or top piece only',
  s: 'forepart sole, back to the waist',
  x: 'heel, sole and old filling off, welt kept',
  b: 'put back on the last, not lasted afresh',
  p: 'welt patch only',
  f: 'forepart only',
};

/** Each cell: + always, ? if needed, . never, and the letter of a variant. */
const MATRIX = new Map(
  table(
    'jobs',
    ['stage', ...JOB_CODES],
    `
REC | +  | +  | +  | +  | +
TRI | +  | +  | +  | +  | +
OWN | ?  | +  | +  | +  | +
CLN | ?  | ?  | +  | +  | +
PUL | +h | +s | +x | +x | +
RIB | .  | ?  | ?  | +  | +
CLO | .  | ?  | ?  | ?  | ?
FND | .  | .  | ?  | +  | +
LAS | .  | .  | ?  | +b | +
WRP | .  | .  | ?  | +  | +
WLT | .  | .  | .  | ?p | +
INT | .  | .  | .  | .  | +
BEA | .  | .  | .  | .  | +
SEA | .  | .  | ?  | ?  | +
SHK | .  | ?  | ?  | ?  | +
CRK | .  | ?  | +  | +  | +
PRP | .  | +  | +  | +  | +
LAY | .  | +  | +  | +  | +
RND | .  | +  | +  | +  | +
STI | .  | +f | +  | +  | +
SNA | .  | .  | +  | +  | +
LEV | .  | +  | +  | +  | +
SLP | .  | .  | ?  | +  | +
HBL | ?  | .  | ?  | +  | +
HAT | ?  | .  | +  | +  | +
TOP | +  | ?  | +  | +  | +
BRS | ?  | .  | +  | +  | +
SC1 | +  | ?  | +  | +  | +
SC2 | +  | ?  | +  | +  | +
ETR | .  | +  | +  | +  | +
EST | +  | +  | +  | +  | +
WAX | +  | +  | +  | +  | +
EPL | +  | +  | +  | +  | +
BSC | ?  | +  | +  | +  | +
BST | ?  | +  | +  | +  | +
DET | ?  | ?  | ?  | +  | +
UCL | ?  | ?  | +  | +  | +
UPL | +  | +  | +  | +  | +
CHK | +  | +  | +  | +  | +
SOK | ?  | ?  | +  | +  | +
LAC | ?  | ?  | +  | +  | +
BOX | +  | +  | +  | +  | +
DSP | +  | +  | +  | +  | +
`,
    (row) =>
      stageCodesIn(row.stage).map((stage) => {
        const cells = JOB_CODES.map((job) => [job, jobStageOf(row[job])] as const);
        return [stage, new Map(cells)] as const;
      }),
  ).flat(),
);

function jobStageOf(cell: string): JobStage {
  const need = NEEDS[cell.charAt(0)];
  const variant = cell.length > 1 ? VARIANTS[cell.slice(1)] : null;
  if (need === undefined || variant === undefined) throw new Error(`"${cell}" is no need`);
  return { need, variant };
}

/** Whether this job takes this stage. A stage that the catalogue does not know is never needed by default. */
export function jobStage(job: JobCode, stage: StageCode): JobStage {
  return MATRIX.get(stage)?.get(job) ?? { need: 'never', variant: null };
}

/** The job's stages in the usual order: those always done and, unless `only` says otherwise, those done if needed. */
export function stagesOfJob(job: JobCode, only: 'always' | 'all' = 'all'): readonly StageCode[] {
  return STAGES.map((stage) => stage.code).filter((code) => {
    const { need } = jobStage(job, code);
    return need === 'always' || (need === 'if-needed' && only === 'all');
  });
}
