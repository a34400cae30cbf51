/**
 * What goes wrong in the work: 26 faults that send a shoe back. Often one shoe only, while colour is always
 * done again on both. `madeAt` names a place, never a person.
 */
import type { StageCode } from '../ids.ts';
import { type Marked, markOf } from './mark.ts';
import { stageCodesIn } from './stages.ts';
import { table, wordsOrNull, yesOrNot } from './table.ts';

export interface Fault extends Marked {
  readonly id: string;
  readonly name: string;
  readonly madeAt: readonly StageCode[];
  /** Where it usually comes to light. */
  readonly foundAt: readonly StageCode[];
  /** Stages that the shoe may go back to, likeliest first; none where something else is done first. */
  readonly backTo: readonly StageCode[];
  /** Stages done again after that. */
  readonly again: readonly StageCode[];
  /** Every stage of the job after the last of `again` (or of `backTo`) is done again too. */
  readonly onward: boolean;
  /** What the codes do not say, or null. */
  readonly words: string | null;
  readonly bothShoes: boolean;
}

export const FAULTS: readonly Fault[] = table(
  'faults',
  ['id', 'name', 'made', 'found', 'back', 'again', 'onward', 'words', 'both', 'mark'],
  `
w-knife-upper  | Upper nicked by knife or cutter         | PUL INT RND ETR  | CHK         | CLO OWN | -                       | -   | seen at the next stage at best; work halts, and it may be the end of the pair | - | common-practice
w-inseam-cut   | Welt seam cut in trimming               | INT              | BEA LAY     | WLT     | INT BEA                 | -   | a chain stitch can run: sewn again well past the cut | - | common-practice
w-welt-missed  | Needle missed the rib, or loose stitch  | WLT              | INT BEA     | WLT     | INT BEA                 | -   | - | - | common-practice
w-welt-joint   | Welt joint shows or gapes               | WLT SEA          | RND ETR     | SEA WLT | SEA                     | -   | - | - | common-practice
w-last-twist   | Lasted askew, back seam off line        | LAS              | WLT RND SLP | LAS     | -                       | yes | - | - | common-practice
w-cork-lump    | Lump or hollow in the cork              | CRK              | LAY LEV     | CRK     | LAY                     | yes | the new sole may be lost; sometimes only the wearer finds it | - | common-practice
w-shank-noise  | Shank clicks after laying               | SHK              | LEV CHK     | SHK     | PRP                     | yes | the sole comes off | - | common-practice
w-sole-askew   | Sole laid off line                      | LAY              | RND         | LAY     | RND                     | -   | - | - | common-practice
w-sole-odd     | Soles differ in substance or shade      | PRP              | RND ETR BST | PRP     | LAY                     | yes | - | - | common-practice
w-round-in     | Rounded in too far                      | RND              | STI ETR     | PRP     | LAY                     | yes | - | - | common-practice
w-stitch-skip  | Sole stitch skipped, loose or uneven    | STI              | LEV ETR CHK | STI     | LEV                     | -   | - | - | onet
w-stitch-out   | Stitch outside the channel              | RND STI          | LEV         | STI     | LEV                     | -   | - | - | onet
w-thread-burn  | Thread burnt or dry                     | STI WLT          | LEV         | STI WLT | LEV                     | -   | wax too hot or too cold; after a new welt seam also trimming and beating; may show only in wear | - | common-practice
w-lip-torn     | Channel lip torn                        | LEV BSC          | BST CHK     | LEV     | BSC BST                 | -   | - | - | common-practice
w-back-split   | Back seam split in slipping             | SLP              | HAT CHK     | CLO LAS | -                       | yes | closed, then lasted again: a long loop, so the office is told | - | common-practice
w-heel-odd     | Heels unequal, or the shoe rocks        | HBL HAT TOP SC1  | CHK         | TOP HBL | BRS SC1 SC2 EST WAX EPL | -   | - | - | common-practice
w-nail-in      | Nail point or loose nail inside         | HAT SNA          | CHK         | HAT     | CHK                     | -   | - | - | common-practice
w-scour-deep   | Heel or bottom scoured too deep         | SC1 SC2 BSC      | EST BST CHK | HBL PRP | -                       | yes | from the heel, or from the sole | - | common-practice
w-scour-mark   | Coarse scour marks under the stain      | SC1 SC2          | EST CHK     | SC2     | EST WAX EPL             | -   | - | - | common-practice
w-edge-gouge   | Edge gouged, stitch reached             | ETR              | EST         | ETR STI | EST                     | yes | - | - | common-practice
w-stain-upper  | Stain, wax or cement on the upper       | EST WAX BST LAY  | UCL CHK     | UCL     | UPL                     | -   | - | - | common-practice
w-stain-odd    | Left and right differ in shade          | EST BST UCL      | CHK         | EST BST | WAX EPL                 | -   | - | yes | common-practice
w-scorch       | Edge or upper scorched by the iron      | WAX DET          | EPL CHK     | ETR OWN | EST WAX EPL             | -   | a scorched upper goes to the owner | - | common-practice
w-sock-over    | Sock put in before the nail check       | SOK              | CHK         | CHK     | SOK                     | -   | - | - | common-practice
w-mixed        | Left and right are of two pairs         | PUL SLP UCL BOX  | CHK BOX     | -       | -                       | -   | the other pair is found at once | - | common-practice
w-kept-back    | Owner's trees, inserts or laces kept    | REC BOX          | -           | BOX     | DSP                     | -   | usually found by the owner | - | common-practice
`,
  (row) => ({
    id: row.id,
    name: row.name,
    madeAt: stageCodesIn(row.made),
    foundAt: stageCodesIn(row.found),
    backTo: stageCodesIn(row.back),
    again: stageCodesIn(row.again),
    onward: yesOrNot(row.onward),
    words: wordsOrNull(row.words),
    bothShoes: yesOrNot(row.both),
    ...markOf(row.mark),
  }),
);

const byId = new Map(FAULTS.map((fault) => [fault.id, fault]));

/** The catalogue's fault with this id, if it has one. */
export const faultById = (id: string): Fault | undefined => byId.get(id);
