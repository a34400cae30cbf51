/**
 * The 105 reminder lines. A published source, where one stands here, holds the theme; the wording is ours.
 * A reminder is no training and no risk assessment: the machine's manual, the site's assessment and local law
 * come first, and no line says that a machine meets a standard.
 */
import type { Mark } from './mark.ts';
import { PICTOGRAM_IDS, type PictogramId } from './pictograms.ts';
import { sourcesIn } from './sources.ts';
import { oneOf, table, yesOrNot } from './table.ts';

/** Fits one line of a tablet read at arm's length. */
export const REMINDER_LENGTH_MAX = 60;

export interface ReminderLine {
  /** Kind and number, as in `SCOUR-2`. */
  readonly id: string;
  readonly text: string;
  /** The site's competent person must confirm, word or switch off this line before it is used. */
  readonly confirm: boolean;
  readonly pictogram: PictogramId;
  /** Published sources that the theme is drawn from, with the place in them; empty where there is none. */
  readonly drawsOn: readonly string[];
  readonly mark: Mark;
}

export const REMINDER_LINES: readonly ReminderLine[] = table(
  'reminder lines',
  ['id', 'text', 'confirm', 'pictogram', 'drawsOn', 'mark'],
  `
GEN-1    | Guards on and set before you start.                   | -   | general-mandatory       | puwer regulation 11; osha .212                   | source
GEN-2    | Hair tied, sleeves tight, rings and lanyard off.      | -   | entanglement            | puwer regulation 11; hse-gloves                  | source
GEN-3    | No gloves near turning parts.                         | yes | no-gloves               | hse-gloves                                       | source
GEN-4    | Find the stop button before you start.                | -   | general-mandatory       | puwer regulations 15 and 16                      | source
GEN-5    | Not trained on this machine? Do not start it.         | yes | general-prohibition     | puwer regulation 9                               | source
GEN-6    | Isolate before clearing a jam or changing a tool.     | yes | isolate                 | puwer regulations 19 and 22; osha .147           | source
GEN-7    | Faulty? Stop it, tag it, tell the supervisor.         | yes | general-warning         | puwer regulation 5                               | source
GEN-8    | Put the tablet down before the machine runs.          | -   | general-mandatory       | -                                                | common-practice
GEN-9    | One person at the controls.                           | yes | general-mandatory       | hse-footwear two-hand control help text          | source
GEN-10   | Apprentice: wait for your skilled hand.               | yes | general-mandatory       | puwer regulation 9                               | from-memory
INSEAM-1 | Fingers behind the needle, both hands on the shoe.    | yes | sharp                   | -                                                | common-practice
INSEAM-2 | Eye protection on: needles and awls break.            | yes | wear-eye-protection     | hse-sewing assess eye guards                     | source
INSEAM-3 | Foot off the treadle while threading.                 | -   | general-mandatory       | hse-sewing                                       | source
INSEAM-4 | Power off to change needle, awl or looper.            | -   | isolate                 | hse-sewing; puwer regulation 22                  | source
INSEAM-5 | Wax pot is hot. Do not touch, do not overfill.        | yes | hot-surface             | puwer regulation 13; stitcher-unit wax pot check | source
INSEAM-6 | Turn by hand first, then power.                       | yes | general-mandatory       | -                                                | common-practice
STITCH-1 | Fingers behind the needle, both hands on the shoe.    | yes | sharp                   | -                                                | common-practice
STITCH-2 | Eye protection on: needles and awls break.            | yes | wear-eye-protection     | hse-sewing                                       | source
STITCH-3 | Foot off the treadle while threading.                 | -   | general-mandatory       | hse-sewing                                       | source
STITCH-4 | Power off to change needle, awl or knife.             | -   | isolate                 | hse-sewing; puwer regulation 22                  | source
STITCH-5 | Hot wax and heated parts: keep skin clear.            | yes | hot-surface             | puwer regulation 13                              | source
STITCH-6 | Try the stitch on scrap first.                        | -   | general-mandatory       | stitcher-unit set and test                       | source
INTRIM-1 | Rotary knife: fingers on the last, never the seam.    | yes | sharp                   | puwer regulation 11                              | source
INTRIM-2 | Wait until the knife has stopped before you reach in. | -   | sharp                   | puwer regulation 11                              | source
INTRIM-3 | Eye protection on.                                    | yes | wear-eye-protection     | hse-footwear                                     | source
INTRIM-4 | Brush out trimmings. Never use fingers.               | -   | general-prohibition     | -                                                | common-practice
BEAT-1   | Keep fingers clear of the beater.                     | yes | hand-crush              | puwer regulation 11                              | source
BEAT-2   | Hearing protection on.                                | yes | wear-hearing-protection | noise                                            | source
BEAT-3   | Take turns: rest your hands from vibration.           | yes | general-mandatory       | vibration                                        | source
BEAT-4   | Numb or white fingers? Tell the supervisor.           | yes | general-warning         | vibration                                        | source
ROUND-1  | Knife guard set. Fingers behind the guide.            | yes | sharp                   | hse-footwear guards at channelling machines      | source
ROUND-2  | Hearing protection on.                                | yes | wear-hearing-protection | hse-footwear; noise                              | source
ROUND-3  | Extraction on first.                                  | yes | extraction              | hse-footwear exhaust at channelling machines     | source
ROUND-4  | Isolate before touching the knife.                    | -   | isolate                 | puwer regulations 19 and 22                      | source
ROUND-5  | Brush out trimmings. Never use fingers.               | -   | general-prohibition     | -                                                | common-practice
PRESS-1  | Two hands on the controls, none in the press.         | yes | hand-crush              | hse-footwear two-hand control                    | source
PRESS-2  | One person loads and presses.                         | yes | general-mandatory       | hse-footwear                                     | source
PRESS-3  | Try the stop at the start of the shift.               | yes | general-mandatory       | hse-footwear daily guard check                   | source
PRESS-4  | Never tie down or bridge a control.                   | -   | general-prohibition     | hse-footwear                                     | source
TRIM-1   | Cutter runs very fast. Both hands on the shoe.        | -   | sharp                   | hse-trimming; puwer regulation 11                | source
TRIM-2   | Screen and guard down.                                | yes | general-mandatory       | hse-trimming; en-930                             | source
TRIM-3   | Hearing and eye protection on.                        | yes | wear-hearing-protection | hse-trimming; noise                              | source
TRIM-4   | Extraction on before the cutter.                      | yes | extraction              | hse-wheels; coshh-1999                           | source
TRIM-5   | Let it stop and isolate before changing the cutter.   | -   | isolate                 | puwer regulations 19 and 22                      | source
TRIM-6   | Chipped or loose cutter? Do not use it.               | -   | general-prohibition     | puwer regulation 5                               | source
SCOUR-1  | Extraction on before the band. Check the gauge.       | yes | extraction              | hse-wheels gauge near the hood                   | source
SCOUR-2  | Bare, dry hands. No gloves, cloth or cuffs.           | yes | no-gloves               | hse-gloves                                       | source
SCOUR-3  | Look for tears in the band before you start.          | -   | general-mandatory       | -                                                | common-practice
SCOUR-4  | Isolate to change a band or wheel.                    | yes | isolate                 | puwer regulations 19 and 22                      | source
SCOUR-5  | Up to speed first, then touch lightly.                | -   | general-mandatory       | -                                                | common-practice
SCOUR-6  | Pull stray nails first: sparks can light dust.        | yes | general-warning         | hse-wheels fire and explosion caution            | source
SCOUR-7  | Never blow dust. Vacuum or wet wipe.                  | yes | general-prohibition     | hse-dust                                         | source
SCOUR-8  | Eye protection on. Mask only if fit-tested.           | yes | wear-eye-protection     | hse-dust                                         | source
HEEL-1   | Two hands on the controls.                            | yes | hand-crush              | hse-footwear; en-12653                           | source
HEEL-2   | Never hold the heel while it drives.                  | yes | hand-crush              | en-12653                                         | source
HEEL-3   | Eye protection on: nails can fly.                     | yes | wear-eye-protection     | hse-footwear eyes at shanking machines           | source
HEEL-4   | Hearing protection on.                                | yes | wear-hearing-protection | hse-footwear; noise                              | source
HEEL-5   | Power and air off before clearing a nail.             | yes | isolate                 | puwer regulation 19                              | source
HEEL-6   | Feel for nail points with a probe, not a finger.      | -   | sharp                   | -                                                | common-practice
SLIP-1   | Lock the shoe on the jack before you pull.            | yes | general-mandatory       | -                                                | common-practice
SLIP-2   | Face and body out of the line of pull.                | -   | general-warning         | -                                                | common-practice
SLIP-3   | Fingers out of the last's hinge.                      | -   | hand-crush              | -                                                | common-practice
SLIP-4   | Stuck? Do not jerk. Ask for help.                     | -   | general-prohibition     | -                                                | common-practice
HOT-1    | Iron and wax are hot. Handle side only.               | yes | hot-surface             | puwer regulation 13                              | source
HOT-2    | Iron on its rest, never on the bench.                 | -   | hot-surface             | -                                                | common-practice
HOT-3    | No open cement or thinners near heat.                 | yes | flammable               | dsear                                            | source
HOT-4    | Burn? Cool running water 20 minutes. Tell first aid.  | yes | general-mandatory       | -                                                | from-memory
SOLV-1   | Extraction on before you open the tin.                | yes | extraction              | coshh; niosh                                     | source
SOLV-2   | Lid on. Only this shift's need on the bench.          | yes | flammable               | dsear                                            | source
SOLV-3   | No flame, iron, heat gun or sparks here.              | yes | no-open-flame           | dsear                                            | source
SOLV-4   | Right gloves on. Wash before break.                   | yes | wear-gloves             | dermatitis                                       | source
SOLV-5   | Rags in the lidded metal bin.                         | yes | general-mandatory       | dsear; hse-wheels oily fibres can self-heat      | source
SOLV-6   | Dizzy or headache? Stop, fresh air, tell someone.     | -   | general-warning         | -                                                | common-practice
SOLV-7   | Never clean skin with thinners.                       | -   | general-prohibition     | dermatitis                                       | source
SOLV-8   | Tablet and charger away from open cement.             | yes | flammable               | dsear ignition sources                           | source
KNIFE-1  | Cut away from the holding hand.                       | -   | sharp                   | -                                                | common-practice
KNIFE-2  | Sheath the blade before you walk.                     | -   | sharp                   | -                                                | common-practice
KNIFE-3  | Sharp knife, light cut. Never force it.               | -   | sharp                   | -                                                | common-practice
KNIFE-4  | Skiver: set the knife gap small, fingers flat.        | yes | sharp                   | hse-footwear skiver knife gap; en-13457          | source
KNIFE-5  | Old blades in the sharps tin.                         | -   | sharp                   | -                                                | common-practice
MOP-1    | Laces out before the brush.                           | -   | entanglement            | -                                                | common-practice
MOP-2    | Hold low on the brush, edges trailing.                | yes | entanglement            | -                                                | common-practice
MOP-3    | No cloth, thread or cuffs near the brush.             | -   | entanglement            | hse-gloves                                       | source
MOP-4    | Lost your grip? Let go and step back.                 | yes | entanglement            | -                                                | common-practice
MOP-5    | Eye protection on. Extraction on.                     | yes | wear-eye-protection     | en-12387; en-930                                 | source
CLOSE-1  | Needle guard fitted and set to your finger.           | -   | sharp                   | hse-sewing                                       | source
CLOSE-2  | Foot off the treadle while threading.                 | -   | general-mandatory       | hse-sewing                                       | source
CLOSE-3  | Power off to change needle or adjust.                 | -   | isolate                 | hse-sewing                                       | source
CLOSE-4  | Check the guard and needle each week.                 | yes | general-mandatory       | hse-sewing weekly                                | source
LAST-1   | Face out of the line of pull.                         | -   | general-warning         | -                                                | common-practice
LAST-2   | Keep tacks out of your mouth.                         | -   | general-prohibition     | -                                                | common-practice
LAST-3   | Machine: hands clear before you press.                | yes | hand-crush              | en-931                                           | source
LAST-4   | Heated wipers and cement are hot.                     | yes | hot-surface             | en-931; puwer regulation 13                      | source
HAND-1   | Eye protection on when pulling nails.                 | yes | wear-eye-protection     | hse-footwear by analogy                          | source
HAND-2   | Awl point away from your palm.                        | -   | sharp                   | -                                                | common-practice
HAND-3   | Split handle or mushroomed head? Swap it.             | -   | general-warning         | -                                                | common-practice
HAND-4   | Hot cork and hot-melt stick to skin.                  | yes | hot-surface             | puwer regulation 13                              | source
HAND-5   | Old nails straight into the tin.                      | -   | sharp                   | -                                                | common-practice
LIFT-1   | Push the rack, do not pull. Look ahead.               | yes | general-mandatory       | hse-leather                                      | source
LIFT-2   | Heavy lasts low on the rack.                          | -   | general-mandatory       | hse-leather                                      | source
LIFT-3   | Keep the gangway clear.                               | -   | general-mandatory       | hse-footwear walkways                            | source
LIFT-4   | Change posture. Take your break.                      | yes | general-mandatory       | hse-leather upper-limb case                      | source
MOULD-1  | Gloves and mask for mouldy pairs.                     | yes | wear-mask               | -                                                | common-practice
MOULD-2  | Bag it, mark it, keep it apart.                       | -   | general-mandatory       | -                                                | common-practice
MOULD-3  | Wash hands before you eat.                            | -   | wash-hands              | dermatitis                                       | source
`,
  (row) => ({
    id: row.id,
    text: shortEnough(row.text),
    confirm: yesOrNot(row.confirm),
    pictogram: oneOf(PICTOGRAM_IDS, row.pictogram),
    drawsOn: sourcesIn(row.drawsOn),
    mark: oneOf(['source', 'common-practice', 'from-memory'], row.mark),
  }),
);

function shortEnough(text: string): string {
  if (text.length > REMINDER_LENGTH_MAX) throw new Error(`has more than ${REMINDER_LENGTH_MAX} characters`);
  return text;
}
