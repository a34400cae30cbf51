/**
 * The 43 stages of a full rebuild, in the order in which a house usually does them. A start, not the truth:
 * no trained shoemaker has read it, and a site may rename, switch off and add.
 */
import { asStageCode, type StageCode } from '../ids.ts';
import { type Marked, markOf } from './mark.ts';
import { oneOf, table, wordsOf, wordsOrNull } from './table.ts';

export const STAGE_GROUPS = [
  'in',
  'strip',
  'last',
  'make',
  'stitch',
  'heel',
  'edge',
  'bottom',
  'finish',
  'out',
] as const;
export type StageGroup = (typeof STAGE_GROUPS)[number];

const HOW = ['hand', 'machine', 'either', 'office'] as const;
const SHOES = ['pair', 'each', 'matched'] as const;

/** A range in minutes, both ends included. */
export interface MinuteRange {
  readonly least: number;
  readonly most: number;
}

export interface Stage extends Marked {
  readonly code: StageCode;
  /** The bench's title. */
  readonly name: string;
  /** What to say to an owner after "Your shoes are". */
  readonly plain: string;
  readonly group: StageGroup;
  /** `either`: by hand or by machine as the house has it. `office`: no bench work. */
  readonly how: (typeof HOW)[number];
  /** `pair`: done in one go. `each`: one shoe after the other. `matched`: the second is brought to the first. */
  readonly shoes: (typeof SHOES)[number];
  /** The wait after the stage. Every wait is from memory: a soft timer for the site to set, never a lock. */
  readonly settleMinutes: MinuteRange | null;
  /** What the wait is for, where it needs words. */
  readonly settleFor: string | null;
  readonly why: string;
}

export const STAGES: readonly Stage[] = table(
  'stages',
  ['code', 'name', 'plain', 'group', 'how', 'shoes', 'minutes', 'settleFor', 'why', 'mark'],
  `
REC | Booking in                   | being booked in                        | in     | hand    | pair    | -        | - | No pair is touched before it has its number; what came with it is listed and both shoes are photographed | common-practice
TRI | Inspection                   | being looked over                      | in     | hand    | each    | -        | - | Settles the kind of job, and a wrong call costs most here; for the most experienced hand, the two shoes then compared | half-sole-unit
OWN | Owner's yes                  | waiting for the owner's yes            | in     | office  | pair    | -        | - | Price and kind of job are agreed before anything is cut; can open again once the insole has been seen | half-sole-unit
CLN | Cleaning and drying          | being cleaned and dried                | in     | hand    | pair    | 120-2880 | damp 2 to 24 hours, soaked 24 to 48, away from heat | Grit scores leather on the machines and cement will not hold on wet leather; laces and old heel socks come out | common-practice
PUL | Stripping down               | being stripped down                    | strip  | either  | each    | -        | - | Heel first (its nails pass through the sole seat), then sole, old filling and shank, then the welt, back to the insole | common-practice
RIB | Insole and rib               | having the insole checked and mended   | strip  | hand    | each    | 15-960   | cement 15 to 30 minutes, overnight if the rib was stuck again | Only now can it be seen; a loose rib gives the new welt nothing to hold. The owner may have to be asked again | common-practice
CLO | Closing repairs              | having the upper mended                | strip  | either  | matched | 10-30    | cement | Upper, lining and stiffener are mended while the upper is loose; once lasted and welted they cannot be reached | common-practice
FND | Finding the last             | having their last looked out             | last   | hand    | pair    | -        | - | Number, size and fitting agree, a true left and right, hinge sound, no old tacks; may wait days for a last in use | common-practice
LAS | Re-lasting                   | being put back on the last             | last   | either  | each    | 720-2880 | settles on the last; upper and insole are mulled 30 minutes to 12 hours before | The upper sits tight and its back seam straight before it is sewn; one hand lasts both shoes of a pair | west
WRP | Wrapping the upper           | being wrapped for the making           | last   | hand    | pair    | -        | - | A film keeps wax, cement and stain off the upper until it is cleaned | common-practice
WLT | Welt sewing                  | having new welts sewn on              | make   | machine | each    | 60-240   | the damp welt dries | Joins welt, upper, lining and rib, and all below stands on this seam; usually a chain stitch, so a cut one can run | dooley
INT | Inseam trimming              | having the welt seam trimmed           | make   | either  | each    | -        | - | Surplus upper and welt come off close to the seam so that the bottom lies flush; a cut stitch goes back to the welt | shoe-industry
BEA | Welt beating                 | having the welt beaten flat            | make   | either  | each    | -        | - | Flattens seam and welt so that the sole can lie close | shoe-industry
SEA | Seat piece                   | having the seat built up               | make   | hand    | each    | 10-30    | cement | Carries the welt's level round the heel where the welt stops; its joint is skived | common-practice
SHK | Shank                        | having their shank fitted                | make   | either  | each    | 2-30     | hot-melt 2 to 5 minutes, cement 15 to 30 | Stiffens the waist; the cork is filled round it, so it goes first | common-practice
CRK | Cork filling                 | being filled with cork                 | make   | either  | each    | 10-1440  | warm or rubberised cork 10 to 60 minutes, cold paste 12 to 24 hours | Fills the hollow inside the welt: a sole cannot be laid over hills and valleys | pennsylvania
PRP | Sole preparation             | having their soles cut and made ready    | make   | either  | pair    | 720-720  | mellows about 12 hours after wetting, so it starts the day before | Both soles from one bend and of one substance; wetted, split, skived, edges roughed | common-practice
LAY | Sole laying                  | having their soles laid                  | make   | either  | each    | 15-120   | cement is let tack 5 to 30 minutes before joining | Stuck and pressed so that the sole cannot creep while it is cut and stitched | dooley
RND | Rough rounding               | having their soles cut to shape          | stitch | machine | matched | -        | - | Cuts the sole to the last's shape with a margin, and the channel or groove for the seam; a cut into welt or upper stays | dooley
STI | Sole stitching               | being stitched                         | stitch | machine | matched | -        | - | Lockstitch: the threads lock inside the sole, so it can wear through without the seam running | dooley
SNA | Seat nailing                 | having their seats nailed                | stitch | either  | each    | -        | - | The sole's seat is fixed down before a heel goes on it | dooley
LEV | Levelling                    | having their soles levelled              | stitch | either  | each    | 720-2880 | bottom dries on the last; channel cement 10 to 30 minutes before closing | Channel cement is dry before the lip is rubbed down; then the bottom is rolled or hammered to the last | dooley
SLP | Slipping the last            | coming off the last                    | heel   | either  | each    | -        | - | Last out before heeling, since heels are nailed from inside; then it is free for another pair. Forcing splits the back seam | common-practice
HBL | Heel building                | having their heels built                 | heel   | either  | pair    | 60-720   | 1 to 12 hours in the press; cement 15 to 30 minutes | Lifts are built to this pair's height and pitch, beside the main line | common-practice
HAT | Heel attaching               | having their heels put on                | heel   | either  | matched | -        | - | Nailed from inside through insole and sole into the lifts, both heels of one height | common-practice
TOP | Top piece                    | having their top pieces fitted           | heel   | either  | matched | 10-30    | cement | The layer that wears; covers the nails | common-practice
BRS | Heel breasting               | having their heels squared off           | heel   | either  | matched | -        | - | The front face of the heel is cut square | occupations
SC1 | Heel scouring, coarse        | having their heels shaped                | heel   | machine | matched | -        | - | Gives shape and height; what is scoured off cannot be put back | common-practice
SC2 | Heel scouring, fine          | having their heels smoothed              | heel   | machine | matched | 10-30    | damped for a fine finish | Makes a face for the stain: coarse marks show through it | common-practice
ETR | Edge trimming                | having their edges trimmed               | edge   | machine | matched | -        | - | Brings sole edge and welt to the finished line; one slip cuts the welt stitch or the upper | common-practice
EST | Edge staining                | having their edges stained               | edge   | hand    | pair    | 15-60    | - | On raw leather only, since wax keeps stain out; both shoes at one sitting, from one batch | common-practice
WAX | Hot wax and edge ironing     | having their edges waxed                 | edge   | either  | each    | 2-10     | cools | Seals and hardens the edge; wants a dry stain, and a scorch is for good | common-practice
EPL | Edge polishing               | having their edges polished              | edge   | machine | each    | -        | - | Wax that is not cold drags | common-practice
BSC | Bottom scouring              | having their soles smoothed              | bottom | machine | matched | -        | - | Light, only a key for the stain; a heavy hand thins the sole and opens the channel | common-practice
BST | Bottom staining              | having their soles stained               | bottom | hand    | pair    | 30-120   | - | Even, by cloth; both shoes at one sitting, from one batch | common-practice
DET | Hand finishing               | being finished by hand                 | finish | hand    | matched | -        | - | Wheeling between the welt stitches, seat wheel, edge bead, stamps; some houses wheel before the edge is stained | dooley
UCL | Upper cleaning and creaming  | having their uppers cleaned and creamed  | finish | hand    | pair    | 10-30    | cream | The film comes off once the dirty work is done; cream wants a clean face | common-practice
UPL | Upper polishing              | being polished                         | finish | either  | pair    | -        | - | Cream is dry first; laces stay out of the brush | common-practice
CHK | Final check                  | being checked                          | out    | hand    | each    | -        | - | Before the socks, since a sock hides a nail point; not by the maker. The pair stands on a flat board and is compared | common-practice
SOK | Heel socks                   | having their heel socks put in           | out    | hand    | pair    | 10-20    | cement | Cover the nails and the seat | common-practice
LAC | Lacing                       | being laced                            | out    | hand    | pair    | -        | - | After polish and brush | common-practice
BOX | Boxing                       | being boxed                            | out    | hand    | pair    | 720-1440 | safer 12 to 24 hours after the last stain or cement | Two shoes of one number and the owner's things back in: the last place to catch a mixed pair | common-practice
DSP | Dispatch                     | ready to go out                        | out    | office  | pair    | -        | - | The office closes the job: parcel or collection | common-practice
`,
  (row) => ({
    code: asStageCode(row.code),
    name: row.name,
    plain: row.plain,
    group: oneOf(STAGE_GROUPS, row.group),
    how: oneOf(HOW, row.how),
    shoes: oneOf(SHOES, row.shoes),
    settleMinutes: minutesOf(row.minutes),
    settleFor: wordsOrNull(row.settleFor),
    why: row.why,
    ...markOf(row.mark),
  }),
);

function minutesOf(cell: string): MinuteRange | null {
  if (cell === '-') return null;
  const [least, most] = cell.split('-').map(Number);
  if (!(Number.isInteger(least) && Number.isInteger(most) && Number(least) <= Number(most))) {
    throw new Error(`"${cell}" is no range of minutes`);
  }
  return { least: Number(least), most: Number(most) };
}

const byCode = new Map(STAGES.map((stage) => [stage.code, stage]));

/** The catalogue's stage with this code, if it has one. */
export const stageByCode = (code: StageCode): Stage | undefined => byCode.get(code);

/** Codes between spaces, none for `-`. Throws on a code that is no stage of the catalogue. */
export function stageCodesIn(cell: string): readonly StageCode[] {
  return wordsOf(cell).map((word) => {
    const code = asStageCode(word);
    if (!byCode.has(code)) throw new Error(`"${word}" is no stage`);
    return code;
  });
}
