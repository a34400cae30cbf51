/**
 * Which job answers what, against the trade. Most is common practice, no source; a number is a rule of thumb. What a
 * published source says stands beside the check; sources were read in excerpts.
 */
import { describe, expect, test } from 'vitest';
import { DEFECTS, type Weight } from '../../src/domain/catalogue/defects.ts';
import { JOBS } from '../../src/domain/catalogue/jobs.ts';
import { SOURCES } from '../../src/domain/catalogue/sources.ts';
import { type Condition, type Conditions, soleWear, triage } from '../../src/domain/triage.ts';
import { LONG_SEAM_MM, SHORT_RIB_SHARE, SHORT_TEAR_MM } from '../../src/domain/triage-findings.ts';
import { COMBINED, combinedRule, RULES, TRIAGE_DEFAULTS } from '../../src/domain/triage-rules.ts';

const COMMON = 'common practice, no source';
const THUMB = 'rule of thumb, common practice, no source';

const SOUND: Condition = { sole: 'sound', welt: 'sound', heel: 'sound' };
const withSole = (sole: Condition['sole']): Conditions => ({ left: { ...SOUND, sole }, right: SOUND });
const jobName = (findings: readonly [string, Weight?][], conditions: Conditions | null = null): string => {
  const { proposal } = triage(
    findings.map(([defect, weight]) => ({ defect, shoe: 'left', ...(weight ? { weight } : {}) })),
    conditions,
  );
  if (proposal.is !== 'job') return proposal.is;
  return JOBS.find(({ code }) => code === proposal.job)?.name ?? '';
};

describe('how far a sole may wear', () => {
  // Dooley, A Manual of Shoemaking, 1912: the upper thread goes "part way down" and locks there with the lower one.
  // The two thirds, and from which face, no source says; a site may set it otherwise.
  test('the lock lies about two thirds through, from the face that wears (common practice, no source)', () => {
    expect(TRIAGE_DEFAULTS.lockDepth).toBeCloseTo(2 / 3, 12);
    expect(TRIAGE_DEFAULTS.lockWords).toBe('about two thirds through');
    expect(soleWear(2 / 3)).toBe('lock');
    expect(soleWear(0.66)).toBe('worn');
  });

  test('wherever a site has it, the lock lies inside the sole or at its far face (Dooley, 1912: "part way down")', () => {
    expect([0, 0.4, 0.5, 0.99, 1].map((share) => soleWear(share, 0.5))).toEqual([
      'sound',
      'worn',
      'lock',
      'lock',
      'through',
    ]);
  });

  test('worn to the lock it needs a new sole; short of it, it can be worn on (common practice, no source)', () => {
    expect(jobName([], withSole('lock'))).toBe('Long sole');
    expect(jobName([], withSole('worn'))).toBe('nothing-to-do');
  });

  test('short of the lock the seam does not run (Dooley, 1912: the outsole has a lockstitch)', () => {
    expect(RULES.find(({ id }) => id === 'sole-worn')).toMatchObject({
      mark: 'source',
      source: SOURCES.dooley,
    });
  });
});

describe('what answers what', () => {
  test.each<[string, string, readonly [string, Weight?][]]>([
    ['Heel only', THUMB, [['heel-worn', 'mend']]],
    ['Heel only', THUMB, [['heel-worn', 'ask']]],
    ['Heel only', COMMON, [['nail-point']]],
    // A half sole is a new forepart to the waist, the old seat kept (training.gov.au, unit MSTFR2004): it answers
    // what lies before the waist, and nothing at the waist or behind it.
    ['Half sole', THUMB, [['sole-thin']]],
    ['Half sole', THUMB, [['toe-worn', 'mend']]],
    ['Long sole', COMMON, [['waist-crack', 'mend']]],
    ['Long sole', THUMB, [['seat-holes']]],
    ['Long sole', COMMON, [['sole-stitch-rot']]],
    ['Sole on the old welt', THUMB, [['welt-torn-short']]],
    ['Full rebuild', THUMB, [['welt-torn-long']]],
    // The new welt has nothing to hold.
    ['Full rebuild', THUMB, [['rib-loose', 'stop']]],
    // The inseam is usually a chain stitch and can run once it is cut (Dooley, 1912, sets the two stitches apart).
    ['Full rebuild', COMMON, [['welt-stitch-rot']]],
    ['Full rebuild', COMMON, [['feather-split']]],
    ['Full rebuild', THUMB, [['welt-thin'], ['welt-holes']]],
    ['Full rebuild', COMMON, [['heel-worn'], ['sole-thin'], ['welt-torn-long']]],
    ['beyond-repair-ask', COMMON, [['not-welted']]],
    ['beyond-repair-ask', THUMB, [['vamp-through']]],
  ])('%s (%s): %j', (name, _, findings) => {
    expect(jobName(findings)).toBe(name);
  });
});

describe('marks', () => {
  const rules = [...RULES, ...COMBINED.map(combinedRule)];

  test('every rule carries one, and names a published source only where it claims one', () => {
    const titles: readonly string[] = Object.values(SOURCES);
    for (const { mark, source } of rules) {
      expect(['source', 'common-practice', 'rule-of-thumb']).toContain(mark);
      expect(source === undefined ? 'none' : titles.includes(source)).toBe(mark === 'source' ? true : 'none');
    }
  });

  test('a reason carries the mark and source of its rule', () => {
    const [reason] = triage([], withSole('worn')).reasons;
    expect(reason).toMatchObject({ mark: 'source', source: SOURCES.dooley });
    expect(triage([], withSole('lock')).reasons[0]).not.toHaveProperty('source');
  });

  test('its numbers are those that the list of defects gives a hand (rules of thumb)', () => {
    const testOf = (id: string) => DEFECTS.find((defect) => defect.id === id)?.test;
    expect(testOf('welt-torn-long')).toContain(`more than about ${SHORT_TEAR_MM} mm`);
    expect(testOf('rib-loose')).toContain('over about a quarter of the way round');
    expect(SHORT_RIB_SHARE).toBe(0.25);
    expect(testOf('seam-open')).toContain(`mend under ${LONG_SEAM_MM} mm`);
  });

  test('the strip-down is the line: what it would cost is said before it (rule of thumb)', () => {
    expect(combinedRule('upper-worth')).toMatchObject({ asks: 'owner', mark: 'rule-of-thumb' });
    const { stagesAsked } = triage([{ defect: 'vamp-through', shoe: 'left' }], null);
    expect(stagesAsked).toContain('OWN');
  });
});
