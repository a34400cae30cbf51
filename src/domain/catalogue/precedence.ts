/**
 * Which stage needs which before it. `hard` warns strongly or blocks, and a supervisor can still lift it with
 * a reason; `usual` is the habit of the house and worth a remark. Common practice; the sources stand beside
 * the checks in tests/standards/trade.test.ts.
 */
import type { StageCode } from '../ids.ts';
import { stageCodesIn } from './stages.ts';
import { table } from './table.ts';

export interface Precedence {
  readonly stage: StageCode;
  /** The stage that must, or usually does, come first. */
  readonly needs: StageCode;
  readonly kind: 'hard' | 'usual';
}

export const PRECEDENCE: readonly Precedence[] = table(
  'precedence',
  ['stage', 'hard', 'usual'],
  `
TRI | REC                 | -
OWN | TRI                 | -
CLN | REC                 | TRI
PUL | OWN                 | CLN
RIB | PUL                 | -
CLO | PUL                 | RIB
FND | TRI                 | -
LAS | RIB FND CLO         | -
WRP | LAS                 | -
WLT | LAS                 | WRP
INT | WLT                 | -
BEA | INT                 | -
SEA | BEA                 | -
SHK | BEA                 | SEA
CRK | SHK                 | SEA
PRP | OWN                 | -
LAY | CRK PRP SEA         | -
RND | LAY                 | -
STI | RND                 | -
SNA | STI                 | -
LEV | STI                 | SNA
SLP | LEV SNA             | -
HBL | OWN                 | SLP
HAT | SLP HBL             | -
TOP | HAT                 | -
BRS | HAT                 | TOP
SC1 | BRS TOP             | -
SC2 | SC1                 | -
ETR | STI HAT             | SC2
EST | ETR SC2             | -
WAX | EST                 | -
EPL | WAX                 | -
BSC | LEV                 | EPL
BST | BSC                 | -
DET | ETR                 | BST
UCL | LEV                 | BST
UPL | UCL                 | DET
CHK | HAT EPL BST UPL DET | -
SOK | CHK                 | -
LAC | UPL                 | SOK
BOX | SOK LAC             | -
DSP | BOX                 | -
`,
  (row) =>
    stageCodesIn(row.stage).flatMap((stage) => [
      ...stageCodesIn(row.hard).map((needs) => ({ stage, needs, kind: 'hard' as const })),
      ...stageCodesIn(row.usual).map((needs) => ({ stage, needs, kind: 'usual' as const })),
    ]),
).flat();
