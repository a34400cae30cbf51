/**
 * The trade's words, in short. Common practice; checked in part against Dooley, 1912, and the census
 * dictionary of 1921. Words change from town to town, so a site may overrule any.
 */
import { table } from './table.ts';

export interface GlossaryEntry {
  readonly word: string;
  readonly meaning: string;
}

export const GLOSSARY: readonly GlossaryEntry[] = table(
  'glossary',
  ['word', 'meaning'],
  `
last              | the foot-shaped form a shoe is made on, with its number, size, fitting and side
on the last       | with the last in the shoe; off the last, without it
fitting           | the width of a last or shoe, a letter or a number
upper             | everything above the sole
vamp              | the front of the upper, which creases over the toe joints
quarter           | the side and back of the upper
facing            | the part that carries the eyelets
topline           | the top edge round the foot
toe puff          | the stiffening in the toe
stiffener         | the stiffening round the heel, also called counter
lining            | the leather inside the upper
heel sock         | the pad over the heel seat, inside
insole            | the layer under the foot; the welt is sewn to its rib
rib               | the ridge under the insole that holds the inseam, stuck on or cut
feather           | the insole's edge outside the rib
feather line      | where the upper meets the welt
lasting margin    | the upper's edge turned in under the insole
welt              | the strip sewn round the shoe, to which the sole is stitched
inseam            | the hidden seam through rib, upper, lining and welt, usually a chain stitch
sole seam         | the seam through welt and sole, a lockstitch
seat              | the heel end of insole or sole
seat piece        | what carries the welt's level round the seat
waist             | the narrow part under the arch
forepart          | the front of the sole
tread             | where the forepart meets the ground, under the joints
inside            | the big-toe side
outside           | the little-toe side
shank             | the stiff strip in the waist
bottom filling    | what fills the hollow inside the welt, cork as a rule
bottom            | the whole underside; bottoming is making it
substance         | the thickness of leather
bend              | the best sole leather
rough stuff       | sole leather before it is cut
mellow            | to let damp spread evenly through sole leather
mull              | to let damp spread evenly through upper leather
skive             | to thin an edge with a knife
rough round       | to cut the sole to shape with a margin
channel           | the slit in which the sole seam lies
lip               | the flap of a channel
groove            | an open cut for the sole seam
stitched aloft    | with the stitches showing on the bottom, no closed channel
level             | to roll or hammer the bottom flat to the last
slip the last     | to take the last out
lift              | one layer of a heel; a split lift is wedge-shaped
top piece         | the layer of a heel that wears
breast            | the front face of the heel
pitch             | how the heel's height suits the last; a wrong pitch rocks
scour             | to smooth with abrasive
edge trim         | to cut the edge to its finished line
iron              | to heat and press a waxed edge hard and bright; also set, burnish
wheel             | to press marks between the welt stitches; also fudge
bead              | a small ridge or groove worked along the edge
half sole         | a new forepart, as far as the waist
long sole         | a new sole right through to the seat
rebuild           | stripped to the insole, with new welt, cork, sole and heel on its own last
ticket            | the paper that travels with the pair
rack              | a wheeled shelf of pairs
closer            | who sews uppers
laster            | who lasts
maker             | who makes bottoms
finisher          | who finishes edges, bottoms and uppers
hold              | out of the run on purpose, with a reason; also put by
rework            | work done again at an earlier stage; also sent back
odd pair          | shoes that do not match
mixed pair        | shoes of two owners
day work          | paid by time
piece work        | paid by the piece
`,
  (row) => row,
);
