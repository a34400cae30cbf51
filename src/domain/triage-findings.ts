/** What was found at the inspection, shoe by shoe and weighed, as the rules of triage take it. */
import { defectById, WEIGHTS, type Weight } from './catalogue/defects.ts';
import { type OneShoe, type RecordOf, type Shoe, SIDES } from './record/kinds.ts';

/** A welt torn for longer is torn long. Rule of thumb, as are the next two. */
export const SHORT_TEAR_MM = 25;
/** A rib loose for more of the way round is past sticking again. */
export const SHORT_RIB_SHARE = 1 / 4;
/** A seam open for this and longer wants more than a stitch. */
export const LONG_SEAM_MM = 10;

export interface Finding {
  /** The catalogue's id, or the site's own, or null for a note in free words. */
  readonly defect: string | null;
  readonly shoe: Shoe;
  /** As whoever found it weighed it; the catalogue's usual weight without. */
  readonly weight?: Weight;
  readonly zone?: string | null;
  readonly side?: 'inside' | 'outside' | null;
  /** Tells two like findings in one zone apart, for instance the note's id. */
  readonly note?: string;
  /** Of a torn welt or an open seam. */
  readonly lengthMm?: number;
  /** Of the way round the shoe, 0 to 1: of a loose rib. */
  readonly share?: number;
}

/** A finding on one shoe, weighed. */
export interface Found {
  readonly defect: string | null;
  readonly shoe: OneShoe;
  readonly weight: Weight;
  /** Made heavier because it lies at the feather line. */
  readonly raised: boolean;
}

const FEATHER_LINE = ['upper-feather-line', 'opened-feather'];

/** A note as triage takes it. */
export function findingOf(
  note: Pick<RecordOf<'noted'>, 'id' | 'defect' | 'shoe' | 'weight' | 'zone' | 'side'>,
): Finding {
  const { id, defect, shoe, weight, zone, side } = note;
  return { defect, shoe, weight, zone, side, note: id };
}

export const atLeast = (weight: Weight, least: Weight) => WEIGHTS.indexOf(weight) >= WEIGHTS.indexOf(least);
const heavier = (one: Weight, other: Weight) => (atLeast(one, other) ? one : other);

/** One entry a finding and shoe; the same finding told twice is one, at its heaviest. */
export function findingsByShoe(findings: readonly Finding[]): readonly Found[] {
  const found = new Map<string, Found>();
  for (const finding of findings) {
    for (const shoe of finding.shoe === 'both' ? SIDES : [finding.shoe]) {
      const { defect, zone = null, side = null, note = null } = finding;
      const key = JSON.stringify([defect, shoe, zone, side, note]);
      const one = { defect, shoe, ...weigh(finding) };
      const before = found.get(key) ?? one;
      const weight = heavier(before.weight, one.weight);
      found.set(key, { ...one, weight, raised: before.raised || one.raised });
    }
  }
  return [...found.values()];
}

/** The weight as found, made heavier by what was measured and by the feather line; never lighter. */
function weigh(finding: Finding): Pick<Found, 'weight' | 'raised'> {
  const given = finding.weight ?? usualWeight(finding.defect);
  const measured = heavier(given, measuredWeight(finding));
  const isAtFeather = FEATHER_LINE.includes(finding.zone ?? '');
  const next = isAtFeather ? WEIGHTS[WEIGHTS.indexOf(measured) + 1] : undefined;
  return { weight: next ?? measured, raised: next !== undefined };
}

const usualWeight = (defect: string | null): Weight =>
  (defect === null ? undefined : defectById(defect)?.usualWeight) ?? 'ask';

function measuredWeight({ defect, zone, lengthMm = 0, share = 0 }: Finding): Weight {
  switch (defect) {
    case 'welt-torn-short':
      return lengthMm > SHORT_TEAR_MM || zone === 'edge-toe' ? 'stop' : 'mind';
    case 'rib-loose':
      return share > SHORT_RIB_SHARE ? 'stop' : 'mind';
    case 'seam-open':
      return lengthMm >= LONG_SEAM_MM ? 'ask' : 'mind';
    default:
      return 'mind';
  }
}
