/**
 * The rules of triage: what was found, the kind of job that it calls for, and why. Which job answers what is common
 * practice, no source, unless a row says otherwise; a number is a rule of thumb for the site's skilled hand to confirm.
 *
 * For one defect the last row that fits counts, so a table runs from the smallest job to the largest.
 */
import { DEFECTS, WEIGHTS, type Weight } from './catalogue/defects.ts';
import { JOB_CODES, type JobCode } from './catalogue/jobs.ts';
import { type Marked, markOf } from './catalogue/mark.ts';
import { stageCodesIn } from './catalogue/stages.ts';
import { oneOf, table, wordsOf } from './catalogue/table.ts';
import type { StageCode } from './ids.ts';

/** Smallest first. `stages`: something is to be done, for which no kind of job stands. `beyond`: beyond repair, so ask. */
export const CALLS = ['-', 'stages', ...JOB_CODES, 'beyond'] as const;
export type Call = (typeof CALLS)[number];

/** Who is asked besides: the owner, a supervisor, or the shoe itself (`look`). */
export const ASKED = ['owner', 'supervisor', 'look'] as const;
export type Asked = (typeof ASKED)[number];

/** The id of a row, for instance `heel-lifts`. */
export type RuleId = string;

export interface Rule extends Marked {
  readonly id: RuleId;
  /** `new-sole` is a long sole or a sole on the old welt, as the site has it. */
  readonly proposes: Call | 'new-sole';
  /** Stages that it asks for where the job takes them only if needed. */
  readonly stages: readonly StageCode[];
  readonly asks: Asked | null;
  /** `{lock}` stands for the site's words for where the lock lies. */
  readonly says: string;
}

/** What a shoe's condition is recorded in, and the pair's own two facts. */
export const CONDITION_WORDS = {
  sole: ['worn', 'lock', 'through'],
  welt: ['short-tear', 'long-tear'],
  heel: ['top-piece', 'lifts'],
  rebuilt: ['before'],
  upper: ['not-worth-it'],
} as const;
export type ConditionPart = keyof typeof CONDITION_WORDS;

export type Trigger =
  | { readonly on: 'defect'; readonly defect: string; readonly from: Weight }
  | { readonly on: 'condition'; readonly part: ConditionPart; readonly is: string };

export interface RowRule extends Rule {
  /** Any one of them fires the rule. */
  readonly when: readonly Trigger[];
}

/** When: `sole=lock` a condition, `sole-thin` a defect, `toe-worn:stop` a defect of that weight or heavier. */
export const RULES: readonly RowRule[] = table(
  'triage',
  ['id', 'when', 'proposes', 'stages', 'asks', 'says', 'mark'],
  `
sole-worn      | sole=worn                             | -        | -           | -     | Sole worn, but short of the lock of its stitching. The seam does not run: it can be worn on | dooley
surface        | vamp-crease colour-loss toe-scuff     | -        | UCL         | -     | On the surface only. The owner is told; nothing waits for it               | common-practice
salt           | salt-mark                             | -        | CLN UCL     | -     | Salt or water mark. Cleaned and creamed; it may stay to be seen            | common-practice
edge-marks     | edge-rough                            | -        | -           | -     | Edge marked. The owner is told; nothing waits for it                       | common-practice
socks          | sock-missing                          | -        | SOK         | -     | Heel socks renewed                                                         | common-practice
laces          | lace-missing                          | -        | LAC         | -     | Laces renewed                                                              | common-practice
rebuilt        | rebuilt=before old-repair             | -        | RIB         | look  | Repaired before. Look at rib, feather and old welt holes first             | rule-of-thumb
scuff-grain    | toe-scuff:mend                        | stages   | UCL         | -     | Toecap scuffed into the grain. Creamed and coloured                        | rule-of-thumb
edge-trims     | edge-rough:mend                       | stages   | ETR         | -     | Edge gouged, but trims out                                                 | rule-of-thumb
edge-stitch    | edge-rough:ask                        | stages   | ETR         | owner | Edge gouged to the stitch. It may want a new sole                          | rule-of-thumb
clean          | leather-dry mould                     | stages   | CLN         | -     | Cleaned and fed before anything is bent or lasted                          | common-practice
dry-out        | bottom-wet                            | stages   | CLN RIB     | look  | Bottom wet. Dried first; then look at cork, insole and rib                 | rule-of-thumb
guard          | guard-lift                            | stages   | PUL LAY     | -     | Rubber guard comes off, the sole under it is looked at, and it is laid again | common-practice
channel-lip    | channel-lift                          | stages   | LEV         | -     | Channel lip laid again                                                     | common-practice
closing        | puff-down lining-heel eyelet-torn topline-worn tongue-torn toe-scuff:ask | stages | CLO | - | Upper or lining goes to closing                    | common-practice
closing-loose  | stiffener-down lining-vamp seam-open elastic-gone | stages | CLO | -     | Goes to closing while the upper is loose, before it is on the last again   | common-practice
facings        | facing-stretch                        | stages   | -           | owner | Facings stretched. Lasting helps and does not cure; the owner is told      | rule-of-thumb
odd-pair       | pair-odd                              | stages   | -           | owner | The two shoes differ. The owner is asked before anything is cut            | common-practice
no-last        | last-missing                          | stages   | FND         | owner | No last matches. A near last only with the owner’s yes                     | common-practice
heel-top-piece | heel=top-piece heel-worn              | HL       | TOP         | -     | Heel worn in the top piece alone. New top pieces                           | rule-of-thumb
heel-breast    | breast-worn                           | HL       | BRS         | -     | Heel breast gouged. Cut square again, or a new heel                        | rule-of-thumb
heel-pitch     | pitch-wrong                           | HL       | HBL TOP     | -     | Heel out of pitch. Lifts and top pieces set level, both shoes              | rule-of-thumb
heel-lifts     | heel=lifts heel-worn:ask              | HL       | HBL HAT BRS | -     | Heel worn into the lifts. Heels built anew                                 | rule-of-thumb
heel-loose     | heel-loose                            | HL       | HAT         | look  | Heel loose. It comes off; look at the seat before it goes on               | rule-of-thumb
nail-point     | nail-point                            | HL       | HAT         | look  | A nail point hurts the wearer. Find it with a probe, never a fingertip; the heel is nailed again | common-practice
thin           | sole-thin                             | HF       | -           | -     | Sole thin in the forepart. New foreparts to the waist                      | rule-of-thumb
toe            | toe-worn                              | HF       | -           | -     | Toe worn back, the welt still whole. New foreparts to the waist            | rule-of-thumb
gape           | sole-gape                             | HF       | -           | -     | Sole gapes at the edge. Laid and stitched again, new foreparts at the least | rule-of-thumb
cork           | cork-gone                             | HF       | CRK         | -     | Cork perished. Reached with the sole off to the waist at the least         | common-practice
shank-loose    | shank-loose                           | HF       | SHK CRK     | -     | Shank loose. Reached with the sole off to the waist at the least           | common-practice
lock           | sole=lock                             | new-sole | -           | -     | Sole worn to the lock of its stitching, {lock}. It needs a new sole        | common-practice
through        | sole=through sole-hole                | new-sole | RIB         | look  | Sole worn through, past the lock. It needs a new sole; look at the insole under it | common-practice
waist          | waist-crack                           | new-sole | SHK         | look  | Cracked across the waist, where a half sole would join. A new sole; look at the shank | common-practice
sole-seam      | sole-stitch-rot                       | new-sole | -           | -     | Sole stitching rotten. A new sole, stitched right round                    | common-practice
channel        | channel-bad                           | new-sole | -           | -     | Channel bad. A new sole, channelled afresh                                 | rule-of-thumb
shank-broken   | shank-broken                          | new-sole | SHK CRK     | -     | Shank broken or rusted. It lies under the seat too: sole and heel off      | common-practice
seat           | seat-holes                            | new-sole | RIB         | look  | New nails would not hold in the seat. Mended with sole and heel off        | rule-of-thumb
welt-patch     | welt=short-tear welt-torn-short       | RS       | WLT         | owner | Welt torn, short. A welt patch, and the sole goes on the old welt          | rule-of-thumb
welt-spent     | welt-thin welt-holes                  | RS       | WLT         | owner | Welt thin or full of old holes. A welt patch at the least                  | rule-of-thumb
rib-short      | rib-loose                             | RS       | RIB         | -     | Rib loose for a short way. Stuck again, on its own last                    | rule-of-thumb
welt-long      | welt=long-tear welt-torn-long welt-torn-short:stop welt-thin:stop welt-holes:stop | FB | - | - | Welt past a patch: torn long or at the toe, or spent. New welts    | rule-of-thumb
toe-welt       | toe-worn:stop                         | FB       | -           | -     | Toe worn into the welt. New welts                                          | rule-of-thumb
inseam         | welt-stitch-rot                       | FB       | -           | -     | Welt stitching rotten. Everything below stands on that seam: new welts     | common-practice
rib-long       | rib-loose:stop                        | FB       | -           | -     | Rib loose for more than a short way. The welt has nothing to hold: mended, then new welts | rule-of-thumb
feather        | feather-split                         | FB       | -           | -     | Feather split. A new insole, so new welts too                              | rule-of-thumb
insole         | insole-crack                          | FB       | -           | -     | Insole cracked or shrunk. A new insole, so new welts too                   | rule-of-thumb
insole-through | insole-hole                           | FB       | -           | owner | Hole through sole and insole. A patch or a new insole; the owner is asked first | rule-of-thumb
upper-cut      | feather-cut margin-torn               | FB       | CLO         | -     | Upper cut or torn where it is lasted. Closing first, then lasted afresh: only a full rebuild does that | common-practice
vamp           | vamp-through                          | beyond   | CLO         | owner | Upper cracked through. A patch, or the job is refused                      | rule-of-thumb
not-welted     | not-welted                            | beyond   | -           | owner | Not truly welted. Refused, or another kind of job is chosen                | common-practice
upper-spent    | upper=not-worth-it                    | beyond   | -           | owner | Upper not worth the rebuild. Say so before the strip-down: after it there is no shoe to give back | rule-of-thumb
`,
  (row) => ({ ...ruleOf(row), when: wordsOf(row.when).map(triggerOf) }),
);

/** Rules that look at more than one finding, or at none; `triage.ts` knows when. */
export const COMBINED = [
  'two-of-welt',
  'two-of-upper',
  'upper-worth',
  'feather-line',
  'look-also',
  'own-words',
  'outside-job',
  'nothing-found',
] as const;
export type CombinedId = (typeof COMBINED)[number];

const combined = new Map(
  table(
    'triage, combined',
    ['id', 'proposes', 'stages', 'asks', 'says', 'mark'],
    `
two-of-welt   | FB     | -   | owner      | Two faults of welt or rib in one shoe count as one that stops. New welts                    | rule-of-thumb
two-of-upper  | beyond | -   | owner      | Two faults in one upper that each stop. Is it worth the rebuild? Say so before the strip-down | rule-of-thumb
upper-worth   | -      | -   | owner      | Is the upper worth the rebuild? Say so before the strip-down: after it there is no shoe to give back | rule-of-thumb
feather-line  | -      | -   | -          | At the feather line it counts one weight heavier: the next seam goes there                  | rule-of-thumb
look-also     | -      | -   | look       | Found on the other shoe. Look for it on this one                                            | rule-of-thumb
own-words     | -      | -   | supervisor | Not in the list of defects. No rule knows it: judge it on the shoe                          | common-practice
outside-job   | -      | -   | supervisor | This kind of job does not take the stage. Ask for the stage, or take a larger job           | common-practice
nothing-found | -      | -   | -          | Nothing found that calls for a job                                                          | common-practice
`,
    (row) => [oneOf(COMBINED, row.id), ruleOf(row)] as const,
  ),
);

/** The combined rule of this id. Throws where the table lacks it. */
export function combinedRule(id: CombinedId): Rule {
  const rule = combined.get(id);
  if (rule === undefined) throw new Error(`triage, combined: no row "${id}"`);
  return rule;
}

type Cells = Readonly<Record<'id' | 'proposes' | 'stages' | 'asks' | 'says' | 'mark', string>>;

function ruleOf(row: Cells): Rule {
  return {
    id: row.id,
    proposes: oneOf([...CALLS, 'new-sole'], row.proposes),
    stages: stageCodesIn(row.stages),
    asks: row.asks === '-' ? null : oneOf(ASKED, row.asks),
    says: row.says,
    ...markOf(row.mark),
  };
}

function triggerOf(word: string): Trigger {
  const [part = '', is] = word.split('=');
  if (is !== undefined) {
    const known = oneOf(Object.keys(CONDITION_WORDS), part) as ConditionPart;
    return { on: 'condition', part: known, is: oneOf<string>(CONDITION_WORDS[known], is) };
  }
  const [defect = '', from] = word.split(':');
  const id = oneOf(
    DEFECTS.map((entry) => entry.id),
    defect,
  );
  return { on: 'defect', defect: id, from: from === undefined ? 'mind' : oneOf(WEIGHTS, from) };
}

/** The site's choice where the trade leaves one. */
export interface TriageSettings {
  /**
   * Where the lock of the sole stitch lies, as a share of the sole's substance from the face that wears, above 0 to 1.
   * Dooley, 1912, has the upper thread go "part way down" only; two thirds is common practice, no source.
   */
  readonly lockDepth: number;
  /** The site's words for it. */
  readonly lockWords: string;
  /** Where a long sole and a sole on the old welt would both do: houses differ. */
  readonly newSole: Extract<JobCode, 'LG' | 'RS'>;
}

export const TRIAGE_DEFAULTS: TriageSettings = {
  lockDepth: 2 / 3,
  lockWords: 'about two thirds through',
  newSole: 'LG',
};
