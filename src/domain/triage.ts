/**
 * Triage: what was found at the inspection, and the kind of job that it calls for, with the reasons. A proposal only;
 * a person decides. The largest job that anything calls for wins, and both shoes always get the same job.
 */
import { defectById } from './catalogue/defects.ts';
import { JOB_CODES, type JobCode, jobStage } from './catalogue/jobs.ts';
import type { Marked } from './catalogue/mark.ts';
import { STAGES } from './catalogue/stages.ts';
import { asStageCode, type StageCode } from './ids.ts';
import { type OneShoe, type Shoe, type ShoeCondition, SIDES } from './record/kinds.ts';
import { atLeast, type Finding, type Found, findingsByShoe } from './triage-findings.ts';
import {
  type Asked,
  CALLS,
  type Call,
  type CombinedId,
  type ConditionPart,
  combinedRule,
  type RowRule,
  RULES,
  type Rule,
  type RuleId,
  TRIAGE_DEFAULTS,
  type TriageSettings,
} from './triage-rules.ts';

export interface Condition extends ShoeCondition {
  /** Measured: how much of the sole's substance is worn away, 0 to 1. */
  readonly soleWornShare?: number;
}

export interface Conditions {
  readonly left: Condition;
  readonly right: Condition;
  readonly rebuiltBefore?: boolean;
  /** What a person made of the upper; false is «not worth the rebuild». */
  readonly upperWorthIt?: boolean;
}

export type Proposal =
  | { readonly is: 'nothing-to-do' }
  /** Something is to be done, and no kind of job stands for it alone: ask the supervisor. */
  | { readonly is: 'no-kind-of-job' }
  | { readonly is: 'job'; readonly job: JobCode }
  /** Ask the owner before anything is cut; `job` is what the rest calls for, if the answer is to go on. */
  | { readonly is: 'beyond-repair-ask'; readonly job: JobCode | null };

export interface Reason extends Marked {
  readonly rule: RuleId;
  readonly says: string;
  /** `both` also for what concerns the pair. */
  readonly shoe: Shoe;
  readonly defect: string | null;
  readonly calls: Call;
  readonly asks: Asked | null;
  readonly stages: readonly StageCode[];
}

export interface Triage {
  readonly proposal: Proposal;
  /** Largest job first; never empty. */
  readonly reasons: readonly Reason[];
  /** Those of the reasons that ask somebody, or send the hand back to the shoe. */
  readonly alsoAsk: readonly Reason[];
  /** Stages asked for beyond those that the job always takes, in the order of the route. */
  readonly stagesAsked: readonly StageCode[];
}

/**
 * What the findings call for. `conditions` null where the office has recorded none. Throws a RangeError where a
 * share of the sole, or the depth of the lock, is no share.
 */
export function triage(
  findings: readonly Finding[],
  conditions: Conditions | null,
  settings: TriageSettings = TRIAGE_DEFAULTS,
): Triage {
  const found = findingsByShoe(findings);
  const single = found.map((one) => fromFinding(one, settings));
  const recorded = fromConditions(conditions, settings).filter(
    ({ rule, shoe }) => !single.some((reason) => reason.rule === rule && reason.shoe === shoe),
  );
  const drawn = [...single, ...recorded, ...combinations(found, conditions, settings)];
  const called = [...drawn, ...upperWorth(found, drawn, settings)];
  const proposal = proposalOf(called);
  const stagesAsked = stagesBeyond(called, proposal);
  const reasons = inOrder(bothTogether([...called, ...closing(proposal, called, stagesAsked, settings)]));
  return { proposal, reasons, alsoAsk: reasons.filter(({ asks }) => asks !== null), stagesAsked };
}

/** How worn a sole is whose substance is worn away by `share`, 0 to 1. Throws a RangeError on anything else. */
export function soleWear(share: number, lockDepth = TRIAGE_DEFAULTS.lockDepth): ShoeCondition['sole'] {
  if (!(share >= 0 && share <= 1)) throw new RangeError(`${share} is no share of a sole`);
  if (!(lockDepth > 0 && lockDepth <= 1)) throw new RangeError(`the lock cannot lie at ${lockDepth}`);
  if (share === 1) return 'through';
  if (share >= lockDepth) return 'lock';
  return share > 0 ? 'worn' : 'sound';
}

const WELT_AND_RIB = [
  'welt-torn-short',
  'welt-torn-long',
  'welt-thin',
  'welt-holes',
  'welt-stitch-rot',
  'rib-loose',
];

const isLarger = (one: Call, other: Call) => CALLS.indexOf(one) > CALLS.indexOf(other);
/** What closing cures is of the upper or its lining. */
const isOfUpper = (defect: string) => defectById(defect)?.cureAt.includes(asStageCode('CLO')) ?? false;

/** What a stage must cure is never nothing to do, so a weight of *mend* calls at least for stages. */
function fromFinding({ defect, shoe, weight }: Found, settings: TriageSettings): Reason {
  const rule = RULES.findLast(({ when }) =>
    when.some((it) => it.on === 'defect' && it.defect === defect && atLeast(weight, it.from)),
  );
  const reason = reasonOf(rule ?? combinedRule('own-words'), shoe, defect, settings);
  return reason.calls === '-' && atLeast(weight, 'mend') ? { ...reason, calls: 'stages' } : reason;
}

function fromConditions(conditions: Conditions | null, settings: TriageSettings): readonly Reason[] {
  if (conditions === null) return [];
  const { rebuiltBefore = false, upperWorthIt = true } = conditions;
  const reasonsFor = (shoe: Shoe, part: ConditionPart, is: string) =>
    rulesOn(part, is).map((rule) => reasonOf(rule, shoe, null, settings));
  return [
    ...SIDES.flatMap((shoe) => {
      const { welt, heel } = conditions[shoe];
      const sole = soleOf(conditions[shoe], settings);
      return [
        ...reasonsFor(shoe, 'sole', sole),
        ...reasonsFor(shoe, 'welt', welt),
        ...reasonsFor(shoe, 'heel', heel),
      ];
    }),
    ...(rebuiltBefore ? reasonsFor('both', 'rebuilt', 'before') : []),
    ...(upperWorthIt ? [] : reasonsFor('both', 'upper', 'not-worth-it')),
  ];
}

const rulesOn = (part: ConditionPart, is: string): readonly RowRule[] =>
  RULES.filter(({ when }) => when.some((it) => it.on === 'condition' && it.part === part && it.is === is));

/** The worse of what was written down and what was measured. */
function soleOf({ sole, soleWornShare }: Condition, { lockDepth }: TriageSettings): ShoeCondition['sole'] {
  const measured = soleWear(soleWornShare ?? 0, lockDepth);
  const order = ['sound', 'worn', 'lock', 'through'];
  return order.indexOf(measured) > order.indexOf(sole) ? measured : sole;
}

/** What several findings make together, and what one makes beyond its own rule. */
function combinations(
  found: readonly Found[],
  conditions: Conditions | null,
  settings: TriageSettings,
): readonly Reason[] {
  const draw = (id: CombinedId, shoe: Shoe, defect: string | null = null) =>
    reasonOf(combinedRule(id), shoe, defect, settings);
  return [
    ...found.filter(({ raised }) => raised).map(({ shoe, defect }) => draw('feather-line', shoe, defect)),
    ...SIDES.flatMap((shoe) => {
      const here = found.filter((one) => one.shoe === shoe);
      return [
        ...(weltFaults(here, conditions?.[shoe].welt) >= 2 ? [draw('two-of-welt', shoe)] : []),
        ...(upperStops(here) >= 2 ? [draw('two-of-upper', shoe)] : []),
        ...onlyOn(shoe, found).map((defect) => draw('look-also', otherOf(shoe), defect)),
      ];
    }),
  ];
}

/** A tear that the office wrote down and the bench found is one tear. */
function weltFaults(here: readonly Found[], welt: ShoeCondition['welt'] = 'sound'): number {
  const faults = here.filter(
    ({ defect, weight }) => WELT_AND_RIB.includes(defect ?? '') && atLeast(weight, 'ask'),
  );
  const isTearFound = faults.some(({ defect }) => defect?.startsWith('welt-torn') ?? false);
  return faults.length + (welt !== 'sound' && !isTearFound ? 1 : 0);
}

const upperStops = (found: readonly Found[]): number =>
  found.filter(({ defect, weight }) => weight === 'stop' && defect !== null && isOfUpper(defect)).length;

/** Defects found on this shoe alone; not those of the pair as a whole. */
function onlyOn(shoe: OneShoe, found: readonly Found[]): readonly string[] {
  const on = (side: OneShoe) =>
    found.flatMap((one) => (one.shoe === side && one.defect !== null ? [one.defect] : []));
  const there = on(otherOf(shoe));
  return [...new Set(on(shoe))].filter(
    (defect) => !there.includes(defect) && defectById(defect)?.zones.length !== 0,
  );
}

const otherOf = (shoe: OneShoe): OneShoe => (shoe === 'left' ? 'right' : 'left');

/** One fault that stops in the upper does not end the pair, but its worth is a question before the strip-down. */
function upperWorth(
  found: readonly Found[],
  drawn: readonly Reason[],
  settings: TriageSettings,
): readonly Reason[] {
  if (upperStops(found) === 0 || drawn.some(({ calls }) => calls === 'beyond')) return [];
  return [reasonOf(combinedRule('upper-worth'), 'both', null, settings)];
}

function reasonOf(rule: Rule, shoe: Shoe, defect: string | null, settings: TriageSettings): Reason {
  const { id, proposes, stages, asks, says, mark, source } = rule;
  return {
    rule: id,
    says: says.replace('{lock}', () => settings.lockWords),
    mark,
    ...(source === undefined ? {} : { source }),
    shoe,
    defect,
    calls: proposes === 'new-sole' ? settings.newSole : proposes,
    asks,
    stages,
  };
}

function proposalOf(reasons: readonly Reason[]): Proposal {
  const calls = reasons.map((reason) => reason.calls);
  const job = JOB_CODES.findLast((code) => calls.includes(code)) ?? null;
  if (calls.includes('beyond')) return { is: 'beyond-repair-ask', job };
  if (job !== null) return { is: 'job', job };
  return calls.includes('stages') ? { is: 'no-kind-of-job' } : { is: 'nothing-to-do' };
}

const jobOf = (proposal: Proposal): JobCode | null => ('job' in proposal ? proposal.job : null);

/** Whoever must be asked before the work starts makes the owner's yes a stage of the pair. */
function stagesBeyond(reasons: readonly Reason[], proposal: Proposal): readonly StageCode[] {
  const job = jobOf(proposal);
  const asked = new Set(reasons.flatMap(({ stages }) => stages));
  if (reasons.some(({ asks }) => asks === 'owner')) asked.add(asStageCode('OWN'));
  // A heel-only job does not open the shoe, so its rib cannot be looked at.
  if (job === 'HL') asked.delete(asStageCode('RIB'));
  return STAGES.map(({ code }) => code).filter(
    (code) => asked.has(code) && (job === null || jobStage(job, code).need !== 'always'),
  );
}

/** What can only be said once the job is known. */
function closing(
  proposal: Proposal,
  called: readonly Reason[],
  stagesAsked: readonly StageCode[],
  settings: TriageSettings,
): readonly Reason[] {
  const job = jobOf(proposal);
  const outside = job === null ? [] : stagesAsked.filter((code) => jobStage(job, code).need === 'never');
  const say = (id: CombinedId) => reasonOf(combinedRule(id), 'both', null, settings);
  return [
    ...(outside.length > 0 ? [{ ...say('outside-job'), stages: outside }] : []),
    ...(called.length === 0 ? [say('nothing-found')] : []),
  ];
}

/** The same reason on left and right is one reason on both. */
function bothTogether(reasons: readonly Reason[]): readonly Reason[] {
  const merged = new Map<string, Reason>();
  for (const reason of reasons) {
    const key = `${reason.rule} ${reason.defect}`;
    const before = merged.get(key);
    const larger = before !== undefined && isLarger(before.calls, reason.calls) ? before : reason;
    const shoe = before === undefined || before.shoe === reason.shoe ? reason.shoe : 'both';
    merged.set(key, { ...larger, shoe });
  }
  return [...merged.values()];
}

/** Largest call first, then as the tables have it, so that the order of the findings does not show. */
function inOrder(reasons: readonly Reason[]): readonly Reason[] {
  const rows = RULES.map(({ id }) => id);
  return reasons.toSorted(
    (one, other) =>
      CALLS.indexOf(other.calls) - CALLS.indexOf(one.calls) ||
      rows.indexOf(other.rule) - rows.indexOf(one.rule) ||
      compare(`${one.rule} ${one.defect}`, `${other.rule} ${other.defect}`),
  );
}

const compare = (one: string, other: string): number => (one < other ? -1 : one > other ? 1 : 0);
