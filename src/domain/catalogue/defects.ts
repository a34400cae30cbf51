/**
 * What comes in on a shoe: 54 defects. Every length and test is a rule of thumb for the site's skilled hand to
 * confirm. Two `ask` notes on welt or rib of one shoe count as a `stop` and a full rebuild is offered; whatever
 * lies at the feather line is one weight worse than it looks, since the next seam goes there.
 */
import type { StageCode } from '../ids.ts';
import { type Marked, markOf } from './mark.ts';
import { stageCodesIn } from './stages.ts';
import { oneOf, table, wordsOf, wordsOrNull } from './table.ts';
import { zoneIdsIn } from './zones.ts';

/** Lightest first: never blocks; a planned stage cures it; the ticket lacks something; work halts. Our own scale. */
export const WEIGHTS = ['mind', 'mend', 'ask', 'stop'] as const;
export type Weight = (typeof WEIGHTS)[number];

export interface Defect extends Marked {
  readonly id: string;
  readonly name: string;
  /** Zones where it is found; none where it belongs to the pair as a whole. */
  readonly zones: readonly string[];
  /** How a hand knows it, and what makes it heavier. */
  readonly test: string;
  /** Weights that it can have, lightest first. */
  readonly weights: readonly Weight[];
  readonly usualWeight: Weight;
  /** Stages where the operative is shown it. */
  readonly seeAt: readonly StageCode[];
  /** Stages that cure it; none where only the owner's answer does. */
  readonly cureAt: readonly StageCode[];
  /** How it is cured, where the stage alone does not say. */
  readonly cureBy: string | null;
  /** What halts the job, or null where nothing does. */
  readonly stops: string | null;
}

export const DEFECTS: readonly Defect[] = table(
  'defects',
  ['id', 'name', 'zones', 'test', 'weights', 'see', 'cure', 'cureBy', 'stops', 'mark'],
  `
sole-thin       | Thin spot in the sole               | bottom-tread-* bottom-toe                                | gives under a hard press of the thumb                                       | mend           | TRI PUL             | PRP LAY | - | - | rule-of-thumb
sole-hole       | Hole through the sole               | bottom-tread-* bottom-toe                                | cork seen or felt; ask if it is wet inside; look again after the strip-down | mend ask       | TRI PUL RIB CRK     | PRP LAY | - | until the insole has been looked at | rule-of-thumb
insole-hole     | Hole through sole and insole        | bottom-tread-* inside-insole-*                           | a finger inside the shoe finds the hole                                     | stop           | TRI PUL RIB OWN     | RIB     | patch or new insole, or the job is refused | until decided | rule-of-thumb
toe-worn        | Toe worn back                       | bottom-toe edge-toe                                      | mend while only sole, ask once stitches are gone, stop once the welt is worn | mend ask stop | TRI PUL WLT RND     | LAY WLT | welt at welt sewing | once the welt is worn | rule-of-thumb
waist-crack     | Sole cracked across the waist       | bottom-waist-*                                           | ask if it goes right through or the shank moves with it                     | mend ask       | TRI PUL SHK         | SHK LAY | - | - | rule-of-thumb
cork-gone       | Perished cork                       | inside-insole-* opened-cork                              | footbed deeply dished; crumbs once it is open; brings cork filling into a smaller job | mend | TRI PUL CRK         | CRK     | - | - | rule-of-thumb
bottom-wet      | Wet or mouldy bottom                | bottom-* inside-*                                        | cold and dark to the hand, smells, white bloom                              | ask            | REC CLN PUL RIB LAY | CLN     | - | until dry | rule-of-thumb
sole-stitch-rot | Rotten sole stitching               | edge-* bottom-edge-line                                  | thread turns to powder or pulls out by hand                                 | mend           | TRI STI             | STI     | - | - | rule-of-thumb
welt-stitch-rot | Rotten welt stitching               | upper-feather-line opened-welt-seam                      | welt lifts off the upper, broken thread in the gap; stop on any job short of a full rebuild | mend stop! | TRI PUL RIB WLT OWN | WLT | - | until the kind of job is changed | rule-of-thumb
welt-torn-short | Welt torn, short                    | edge-*                                                   | about 25 mm at most, clear of the joint                                     | ask            | TRI PUL RIB RND STI | WLT     | welt patch | until decided | rule-of-thumb
welt-torn-long  | Welt torn, long or at the toe       | edge-*                                                   | more than about 25 mm, or two tears in one shoe                             | stop           | TRI PUL RIB OWN     | WLT     | - | until decided | rule-of-thumb
welt-thin       | Welt trimmed too thin before        | edge-*                                                   | stitch line closer than about 2 mm to the edge                              | ask            | TRI RND STI ETR     | WLT     | - | until decided | rule-of-thumb
welt-holes      | Welt crowded with old holes         | edge-*                                                   | holes run together like the edge of a stamp                                 | ask            | TRI STI             | WLT     | - | until decided | rule-of-thumb
feather-split   | Feather split, insole edge torn     | inside-insole-edge opened-feather                        | stitches have torn out towards the edge                                     | stop           | PUL RIB LAS WLT OWN | RIB     | new insole | until decided | rule-of-thumb
rib-loose       | Rib loose or split                  | opened-rib                                               | lifts with a thumbnail; stop over about a quarter of the way round          | ask stop       | PUL RIB LAS WLT     | RIB     | - | until mended | rule-of-thumb
insole-crack    | Insole cracked, curled or shrunk    | inside-insole-*                                          | crack goes through, or the insole has drawn away from the rib               | ask            | PUL RIB LAS         | RIB     | new insole | until decided | rule-of-thumb
seat-holes      | Seat eaten by rusted nails          | inside-seat                                              | new nails would not hold                                                    | ask            | PUL RIB HAT         | RIB     | - | until decided | rule-of-thumb
shank-loose     | Shank loose                         | bottom-waist-* opened-shank                              | clicks or squeaks when the shoe is flexed                                   | ask            | TRI PUL SHK CHK     | SHK     | - | until the shank is set | rule-of-thumb
shank-broken    | Shank broken or rusted              | bottom-waist-* opened-shank                              | waist bends, a hump is felt inside                                          | ask            | TRI PUL SHK         | SHK     | - | until the shank is set | rule-of-thumb
channel-bad     | Bad channel                         | bottom-edge-line                                         | too deep, too near the edge, or wandering                                   | ask stop       | RND STI LEV         | PRP     | new sole | at stop | rule-of-thumb
channel-lift    | Channel lip lifting                 | bottom-edge-line                                         | lip catches a fingernail                                                    | mend           | LEV BSC CHK         | LEV     | - | - | rule-of-thumb
sole-gape       | Sole gaping at toe or side          | edge-toe edge-forepart-* edge-waist-*                    | a stiff card slides in                                                      | mend           | TRI PUL WLT         | LAY STI | - | - | rule-of-thumb
heel-worn       | Heel worn at the back               | bottom-heel-back bottom-heel-outside                     | mend while in the top piece, ask once into the lifts                        | mend ask       | TRI PUL HBL TOP     | TOP HBL HAT | top piece alone, or a new heel | - | rule-of-thumb
breast-worn     | Heel breast worn or gouged          | bottom-breast                                            | gouge deeper than the edge of one lift                                      | mend           | TRI BRS             | BRS HBL | breasting, or a new heel | - | rule-of-thumb
heel-loose      | Heel loose                          | bottom-heel-* inside-seat                                | moves in the hand, or gapes at the seat                                     | ask            | TRI PUL RIB HAT     | HAT     | - | until the seat has been looked at | rule-of-thumb
pitch-wrong     | Heel out of pitch, or pair rocks    | bottom-heel-*                                            | rocks on a flat board, or heights about 1 mm apart                          | ask            | TRI HAT TOP SC1 CHK | HBL TOP | - | at the final check | rule-of-thumb
nail-point      | Nail point through the insole       | inside-seat inside-insole-*                              | found with a probe, never with a fingertip; hurts the wearer                | stop           | RIB HAT CHK SOK     | HAT     | - | until it is gone | common-practice
guard-lift      | Stuck-on rubber guard lifting       | bottom-forepart                                          | its edge lifts                                                              | mend           | TRI PUL             | PUL LAY | - | - | rule-of-thumb
edge-rough      | Edge gouged or frayed               | edge-*                                                   | mend if it trims out, ask if the stitch is reached                          | mind mend! ask | TRI ETR             | ETR     | - | - | rule-of-thumb
vamp-crease     | Surface cracks at the vamp crease   | upper-vamp-crease                                        | in the grain only, does not open when bent                                  | mind           | TRI LAS UCL CHK     | UCL     | cream; cannot be undone | - | rule-of-thumb
vamp-through    | Upper cracked through at the crease | upper-vamp-crease                                        | lining or fibres seen when bent; lasting would open it                      | stop           | TRI CLO LAS OWN     | CLO     | patch, or the job is refused | until decided | rule-of-thumb
feather-cut     | Upper cut at the feather line       | upper-feather-line                                       | any cut within about 5 mm of the welt                                       | stop           | TRI PUL CLO LAS WLT | CLO     | before re-lasting | until mended | rule-of-thumb
margin-torn     | Lasting margin torn or short        | opened-lasting-margin                                    | pincers find nothing to hold                                                | stop           | PUL RIB LAS         | CLO LAS | a strip added, then lasted | until mended | half-sole-unit
toe-scuff       | Toecap scuffed or worn through      | upper-toecap                                             | mind in the colour, mend in the grain, ask if through                       | mind mend ask  | TRI CLO UCL         | UCL CLO | cream, or closing if through | - | rule-of-thumb
puff-down       | Toe puff collapsed                  | upper-toecap                                             | a dent does not spring back                                                 | mend           | TRI CLO LAS         | LAS CLO | - | - | rule-of-thumb
stiffener-down  | Stiffener broken down               | upper-counter                                            | back folds under the thumb, heel runs over                                  | ask            | TRI CLO LAS         | CLO     | before re-lasting | until decided | rule-of-thumb
lining-heel     | Lining worn at the heel             | inside-back-lining                                       | mend if worn, ask if the stiffener shows                                    | mend ask       | TRI CLO LAS CHK     | CLO     | - | - | rule-of-thumb
lining-vamp     | Lining torn in the forepart         | inside-forepart-lining                                   | toes would catch in it                                                      | ask            | TRI CLO LAS         | CLO     | before re-lasting | until decided | rule-of-thumb
facing-stretch  | Facings stretched                   | upper-facing                                             | they meet or cross when laced                                               | ask            | TRI LAS OWN CHK     | LAS     | helps and does not cure; the owner is told | - | rule-of-thumb
eyelet-torn     | Eyelet or facing torn               | upper-facing                                             | hole pulled out to the edge                                                 | ask            | TRI CLO LAC         | CLO     | - | - | rule-of-thumb
seam-open       | Seam open                           | upper-quarter upper-back                                 | mend under 10 mm, ask if longer                                             | mend ask       | TRI CLO LAS SLP CHK | CLO     | before re-lasting | until mended | rule-of-thumb
topline-worn    | Topline or binding worn             | upper-topline                                            | raw edge shows                                                              | mend           | TRI CLO             | CLO     | - | - | rule-of-thumb
tongue-torn     | Tongue torn                         | upper-tongue                                             | hangs by a thread                                                           | mend           | TRI CLO LAC         | CLO     | - | - | rule-of-thumb
elastic-gone    | Side elastic gone                   | upper-quarter                                            | does not draw back                                                          | ask            | TRI CLO OWN         | CLO     | before re-lasting | - | rule-of-thumb
leather-dry     | Dry, thirsty leather                | upper-*                                                  | cracks show when flexed by hand; fed before lasting, or it splits           | mend           | TRI CLN LAS         | CLN     | - | until fed | rule-of-thumb
salt-mark       | Salt or water mark                  | upper-toecap upper-vamp-*                                | a white line                                                                | mind           | TRI CLN UCL         | CLN UCL | - | - | rule-of-thumb
colour-loss     | Colour lost or patchy               | upper-*                                                  | shows at arm's length                                                       | mind           | TRI UCL UPL         | UCL     | - | - | rule-of-thumb
mould           | Mould or bad smell                  | upper-* inside-*                                         | bloom, smell                                                                | mend           | REC CLN             | CLN     | - | kept apart from other pairs until cleaned | rule-of-thumb
old-repair      | Poor earlier repair                 | bottom-* edge-* inside-*                                 | nails through the welt, flooded cement, wrong thread, filling not cork      | ask            | TRI PUL RIB OWN     | -       | as found | until the insole has been looked at | rule-of-thumb
not-welted      | Not truly welted                    | edge-* inside-insole-*                                   | a seam seen inside the shoe, or a welt that is only stuck on                | stop           | TRI OWN             | -       | the job is refused, or another kind chosen | until decided | common-practice
pair-odd        | Shoes of the pair differ            | -                                                        | length, shape, shade or size mark differ                                    | ask            | REC TRI FND CHK     | -       | the owner is asked | until answered | common-practice
last-missing    | Last not found or no match          | -                                                        | number, size, fitting or side is wrong                                      | stop           | FND LAS OWN         | FND     | a near last only with the owner's yes | until settled | common-practice
sock-missing    | Heel sock missing or worn           | inside-seat                                              | seat bare, or sock worn                                                     | mind           | REC TRI SOK         | SOK     | - | - | common-practice
lace-missing    | Laces missing or frayed             | upper-facing                                             | no laces, or frayed ones                                                    | mind           | REC LAC             | LAC     | - | - | common-practice
`,
  (row) => ({
    id: row.id,
    name: row.name,
    zones: zoneIdsIn(row.zones),
    test: row.test,
    ...weightsOf(row.weights),
    seeAt: stageCodesIn(row.see),
    cureAt: stageCodesIn(row.cure),
    cureBy: wordsOrNull(row.cureBy),
    stops: wordsOrNull(row.stops),
    ...markOf(row.mark),
  }),
);

/** The usual weight carries `!`; without one it is the lightest. */
function weightsOf(cell: string): Pick<Defect, 'weights' | 'usualWeight'> {
  const words = wordsOf(cell);
  const weights = words.map((word) => oneOf(WEIGHTS, word.replace('!', '')));
  const usualWeight =
    weights[
      Math.max(
        0,
        words.findIndex((word) => word.endsWith('!')),
      )
    ];
  if (usualWeight === undefined) throw new Error('has no weight');
  return { weights, usualWeight };
}

const byId = new Map(DEFECTS.map((defect) => [defect.id, defect]));

/** The catalogue's defect with this id, if it has one. */
export const defectById = (id: string): Defect | undefined => byId.get(id);
