import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { DEFECTS, WEIGHTS, type Weight } from '../../src/domain/catalogue/defects.ts';
import { jobStage } from '../../src/domain/catalogue/jobs.ts';
import { STAGES } from '../../src/domain/catalogue/stages.ts';
import { ZONES } from '../../src/domain/catalogue/zones.ts';
import { SIDES } from '../../src/domain/record/kinds.ts';
import { type Condition, type Conditions, type Proposal, triage } from '../../src/domain/triage.ts';
import { type Finding, findingOf } from '../../src/domain/triage-findings.ts';
import { CALLS, COMBINED, RULES, TRIAGE_DEFAULTS } from '../../src/domain/triage-rules.ts';
import { NOBODYS_ID } from '../support/builders.ts';

const SOUND: Condition = { sole: 'sound', welt: 'sound', heel: 'sound' };
const onLeft = (left: Partial<Condition>): Conditions => ({ left: { ...SOUND, ...left }, right: SOUND });
const found = (defect: string | null, weight?: Weight, more: Partial<Finding> = {}): Finding => ({
  defect,
  shoe: 'left',
  ...(weight === undefined ? {} : { weight }),
  ...more,
});

/** One word for a proposal: the job's code, or what it is instead. */
const word = (proposal: Proposal): string => (proposal.is === 'job' ? proposal.job : proposal.is);
const proposed = (findings: readonly Finding[], conditions: Conditions | null = null) =>
  word(triage(findings, conditions).proposal);
const rulesOf = (findings: readonly Finding[], conditions: Conditions | null = null) =>
  triage(findings, conditions).reasons.map(({ rule }) => rule);

/** Written apart from the rules: what each defect alone comes to, at each weight that the catalogue gives it. */
const ALONE = `
sole-thin       mend HF
sole-hole       mend LG    ask LG
insole-hole     stop FB
toe-worn        mend HF    ask HF    stop FB
waist-crack     mend LG    ask LG
cork-gone       mend HF
bottom-wet      ask no-kind-of-job
sole-stitch-rot mend LG
welt-stitch-rot mend FB    stop FB
welt-torn-short ask RS
welt-torn-long  stop FB
welt-thin       ask RS
welt-holes      ask RS
feather-split   stop FB
rib-loose       ask RS     stop FB
insole-crack    ask FB
seat-holes      ask LG
shank-loose     ask HF
shank-broken    ask LG
channel-bad     ask LG     stop LG
channel-lift    mend no-kind-of-job
sole-gape       mend HF
heel-worn       mend HL    ask HL
breast-worn     mend HL
heel-loose      ask HL
pitch-wrong     ask HL
nail-point      stop HL
guard-lift      mend no-kind-of-job
edge-rough      mind nothing-to-do   mend no-kind-of-job   ask no-kind-of-job
vamp-crease     mind nothing-to-do
vamp-through    stop beyond-repair-ask
feather-cut     stop FB
margin-torn     stop FB
toe-scuff       mind nothing-to-do   mend no-kind-of-job   ask no-kind-of-job
puff-down       mend no-kind-of-job
stiffener-down  ask no-kind-of-job
lining-heel     mend no-kind-of-job  ask no-kind-of-job
lining-vamp     ask no-kind-of-job
facing-stretch  ask no-kind-of-job
eyelet-torn     ask no-kind-of-job
seam-open       mend no-kind-of-job  ask no-kind-of-job
topline-worn    mend no-kind-of-job
tongue-torn     mend no-kind-of-job
elastic-gone    ask no-kind-of-job
leather-dry     mend no-kind-of-job
salt-mark       mind nothing-to-do
colour-loss     mind nothing-to-do
mould           mend no-kind-of-job
old-repair      ask no-kind-of-job
not-welted      stop beyond-repair-ask
pair-odd        ask no-kind-of-job
last-missing    stop no-kind-of-job
sock-missing    mind nothing-to-do
lace-missing    mind nothing-to-do
`;

const alone = ALONE.trim()
  .split('\n')
  .flatMap((line) => {
    const [defect = '', ...rest] = line.split(/\s+/);
    return Array.from({ length: rest.length / 2 }, (_, at) => ({
      defect,
      weight: rest[2 * at] as Weight,
      comesTo: rest[2 * at + 1] as string,
    }));
  });

describe('each defect of the catalogue alone', () => {
  test('every defect is in the list below, at every weight that it can have', () => {
    const listed = alone.map(({ defect, weight }) => `${defect} ${weight}`);
    expect(listed).toEqual(DEFECTS.flatMap(({ id, weights }) => weights.map((weight) => `${id} ${weight}`)));
  });

  test.each(alone)('$defect, $weight: $comesTo', ({ defect, weight, comesTo }) => {
    const { proposal, reasons } = triage([found(defect, weight)], null);
    expect(word(proposal)).toBe(comesTo);
    expect(reasons.filter((reason) => reason.defect === defect).map(({ rule }) => rule)).not.toContain(
      'own-words',
    );
  });

  test('without a weight, it has the catalogue’s usual one', () => {
    for (const { id, usualWeight } of DEFECTS) {
      expect(triage([found(id)], null)).toEqual(triage([found(id, usualWeight)], null));
    }
  });
});

describe('the condition that the office records', () => {
  test.each<[Partial<Condition>, string, string]>([
    [{ heel: 'top-piece' }, 'HL', 'heel-top-piece'],
    [{ heel: 'lifts' }, 'HL', 'heel-lifts'],
    [{ sole: 'worn' }, 'nothing-to-do', 'sole-worn'],
    [{ sole: 'lock' }, 'LG', 'lock'],
    [{ sole: 'through' }, 'LG', 'through'],
    [{ welt: 'short-tear' }, 'RS', 'welt-patch'],
    [{ welt: 'long-tear' }, 'FB', 'welt-long'],
    [{}, 'nothing-to-do', 'nothing-found'],
  ])('%j comes to %s by %s', (left, comesTo, rule) => {
    expect(proposed([], onLeft(left))).toBe(comesTo);
    expect(rulesOf([], onLeft(left))).toEqual([rule]);
  });

  test('an upper not worth it is said beside the job that the rest calls for', () => {
    const conditions = { ...onLeft({ heel: 'lifts' }), upperWorthIt: false };
    expect(triage([], conditions).proposal).toEqual({ is: 'beyond-repair-ask', job: 'HL' });
    expect(triage([], { ...onLeft({}), upperWorthIt: false }).proposal).toEqual({
      is: 'beyond-repair-ask',
      job: null,
    });
  });

  test('what the office wrote down and the bench found is one reason and one tear', () => {
    const { proposal, reasons } = triage([found('welt-torn-short')], onLeft({ welt: 'short-tear' }));
    expect(word(proposal)).toBe('RS');
    expect(reasons.filter(({ rule }) => rule === 'welt-patch')).toHaveLength(1);
  });

  test('the worse of what was written and what was measured counts', () => {
    expect(proposed([], onLeft({ sole: 'worn', soleWornShare: 0.7 }))).toBe('LG');
    expect(proposed([], onLeft({ sole: 'lock', soleWornShare: 0.1 }))).toBe('LG');
    expect(proposed([], onLeft({ soleWornShare: 0.6 }))).toBe('nothing-to-do');
  });
});

describe('every rule', () => {
  const fires = RULES.flatMap(({ id, when }) => when.map((trigger) => ({ id, trigger })));

  test.each(fires)('$id fires alone on $trigger', ({ id, trigger }) => {
    if (trigger.on === 'defect') {
      const usual = DEFECTS.find((defect) => defect.id === trigger.defect)?.weights[0] ?? 'mind';
      const weight = trigger.from === 'mind' ? usual : trigger.from;
      expect(rulesOf([found(trigger.defect, weight)])).toContain(id);
      return;
    }
    const { part, is } = trigger;
    const pair = { rebuilt: { rebuiltBefore: true }, upper: { upperWorthIt: false } };
    const conditions =
      part === 'rebuilt' || part === 'upper' ? { ...onLeft({}), ...pair[part] } : onLeft({ [part]: is });
    expect(rulesOf([], conditions)).toEqual([id]);
  });

  test.each<[(typeof COMBINED)[number], readonly Finding[]]>([
    ['two-of-welt', [found('welt-thin'), found('rib-loose')]],
    ['two-of-upper', [found('feather-cut'), found('margin-torn')]],
    ['upper-worth', [found('feather-cut')]],
    ['feather-line', [found('leather-dry', 'mend', { zone: 'upper-feather-line' })]],
    ['look-also', [found('sole-thin')]],
    ['own-words', [found(null, 'ask')]],
    ['outside-job', [found('sole-thin'), found('heel-worn', 'ask')]],
    ['nothing-found', []],
  ])('combined: %s', (rule, findings) => {
    expect(rulesOf(findings)).toContain(rule);
    const without = COMBINED.filter((other) => other !== rule);
    expect(
      rulesOf(findings).filter((id) => without.some((other) => other === id && other !== 'look-also')),
    ).toEqual([]);
  });

  test('of one defect or one condition, a later row never calls for less', () => {
    const size = (proposes: string) => CALLS.map(String).indexOf(proposes.replace('new-sole', 'LG'));
    for (const { trigger } of fires) {
      const key = trigger.on === 'defect' ? trigger.defect : trigger.part;
      const rows = RULES.filter(({ when }) =>
        when.some((it) => (it.on === 'defect' ? it.defect : it.part) === key),
      ).map(({ proposes }) => size(proposes));
      expect(rows).toEqual(rows.toSorted((one, other) => one - other));
    }
  });

  test('has words of its own that fit a screen, and no gap is left in them', () => {
    const says = RULES.map((rule) => rule.says);
    expect(new Set(says).size).toBe(says.length);
    expect(says.filter((text) => text.length > 110)).toEqual([]);
    expect(triage([], onLeft({ sole: 'lock' })).reasons[0]?.says).toBe(
      'Sole worn to the lock of its stitching, about two thirds through. It needs a new sole',
    );
  });
});

describe('what findings make together', () => {
  test('two faults of welt or rib in one shoe are a full rebuild, one in each shoe are not', () => {
    expect(proposed([found('welt-thin'), found('welt-holes')])).toBe('FB');
    expect(proposed([found('welt-thin'), found('welt-holes', 'ask', { shoe: 'right' })])).toBe('RS');
    expect(proposed([found('welt-thin'), found('welt-holes', 'mend')])).toBe('RS');
    expect(proposed([found('rib-loose')], onLeft({ welt: 'short-tear' }))).toBe('FB');
  });

  test('two tears are told apart by where they lie or by their notes', () => {
    expect(proposed([found('welt-torn-short'), found('welt-torn-short')])).toBe('RS');
    const tear = (zone: string) => found('welt-torn-short', 'ask', { zone });
    expect(proposed([tear('edge-waist-inside'), tear('edge-forepart-outside')])).toBe('FB');
    expect(
      proposed([
        found('welt-torn-short', 'ask', { note: 'one' }),
        found('welt-torn-short', 'ask', { note: 'two' }),
      ]),
    ).toBe('FB');
  });

  test('a tear that is found too light to count leaves the office’s tear standing', () => {
    const office = onLeft({ welt: 'short-tear' });
    expect(proposed([found('welt-thin')], office)).toBe('FB');
    expect(proposed([found('welt-thin'), found('welt-torn-short', 'mend')], office)).toBe('FB');
  });

  test.each([0, 1])(
    'the same finding told twice counts at its heaviest, whichever comes first (%i)',
    (first) => {
      const zone = 'opened-feather';
      const told = [found('rib-loose', 'mind', { zone }), found('rib-loose', 'stop', { zone })];
      const { proposal, reasons } = triage(first === 0 ? told : told.toReversed(), null);
      expect(word(proposal)).toBe('FB');
      expect(reasons.map(({ rule }) => rule)).toEqual(['rib-long', 'feather-line', 'look-also']);
    },
  );

  test('a defect on one shoe is looked for on the other, unless it has been found there', () => {
    const lookAlso = (findings: readonly Finding[]) =>
      triage(findings, null).alsoAsk.filter(({ rule }) => rule === 'look-also');
    expect(lookAlso([found('sole-thin')])).toMatchObject([{ shoe: 'right', defect: 'sole-thin' }]);
    expect(lookAlso([found('sole-thin', 'mend', { shoe: 'both' })])).toEqual([]);
    expect(lookAlso([found('sole-thin'), found('sole-thin', 'mend', { shoe: 'right' })])).toEqual([]);
    expect(lookAlso([found('pair-odd'), found('last-missing')])).toEqual([]);
  });

  test('at the feather line a fault is one weight heavier, and a stop stays a stop', () => {
    expect(proposed([found('rib-loose', 'ask', { zone: 'opened-feather' })])).toBe('FB');
    expect(proposed([found('colour-loss', 'mind', { zone: 'upper-feather-line' })])).toBe('no-kind-of-job');
    expect(rulesOf([found('feather-cut', 'stop', { zone: 'upper-feather-line' })])).not.toContain(
      'feather-line',
    );
  });

  test.each<[string, Finding, Finding]>([
    [
      'a tear over 25 mm',
      found('welt-torn-short', 'ask', { lengthMm: 25 }),
      found('welt-torn-short', 'ask', { lengthMm: 26 }),
    ],
    [
      'a rib loose over a quarter',
      found('rib-loose', 'ask', { share: 0.25 }),
      found('rib-loose', 'ask', { share: 0.26 }),
    ],
    [
      'a tear at the toe',
      found('welt-torn-short', 'ask', { zone: 'edge-seat' }),
      found('welt-torn-short', 'ask', { zone: 'edge-toe' }),
    ],
  ])('%s is a full rebuild', (_, within, beyond) => {
    expect(proposed([within])).toBe('RS');
    expect(proposed([beyond])).toBe('FB');
  });

  test('a measure makes a fault heavier, never lighter than it was found', () => {
    expect(proposed([found('welt-torn-long', 'stop', { lengthMm: 5 })])).toBe('FB');
    expect(proposed([found('rib-loose', 'stop', { share: 0.01 })])).toBe('FB');
  });

  test('two faults that stop in one upper put its worth before the strip-down', () => {
    const { proposal, alsoAsk } = triage([found('feather-cut'), found('margin-torn')], null);
    expect(proposal).toEqual({ is: 'beyond-repair-ask', job: 'FB' });
    expect(alsoAsk.find(({ rule }) => rule === 'two-of-upper')?.asks).toBe('owner');
  });

  test('a pair rebuilt before says first where to look', () => {
    const before = { ...onLeft({ sole: 'lock' }), rebuiltBefore: true };
    const { alsoAsk, stagesAsked } = triage([], before);
    expect(alsoAsk).toMatchObject([{ rule: 'rebuilt', asks: 'look' }]);
    expect(stagesAsked).toEqual(['RIB']);
    expect(triage([], { ...onLeft({ heel: 'lifts' }), rebuiltBefore: true }).stagesAsked).not.toContain(
      'RIB',
    );
  });

  test('the same on left and right is one reason on both', () => {
    const { reasons } = triage([found('sole-thin'), found('sole-thin', 'mend', { shoe: 'right' })], null);
    expect(reasons).toMatchObject([{ rule: 'thin', shoe: 'both' }]);
  });
});

describe('stages asked for', () => {
  test.each<[string, readonly Finding[], readonly string[]]>([
    ['a torn lining wants closing', [found('sole-thin'), found('lining-vamp')], ['CLO']],
    ['a heel built anew', [found('heel-worn', 'ask')], ['HBL', 'HAT', 'BRS']],
    ['a top piece is always done', [found('heel-worn')], []],
    ['cork in a half sole', [found('cork-gone')], ['CRK']],
    ['cork in a long sole is always done', [found('cork-gone'), found('waist-crack')], ['SHK']],
    ['a welt patch on the old welt, and the owner has said yes', [found('welt-thin')], ['WLT']],
    ['the owner is asked though it is heels only', [found('heel-worn'), found('facing-stretch')], ['OWN']],
    ['no job: everything asked for', [found('lining-vamp'), found('salt-mark')], ['CLN', 'CLO', 'UCL']],
  ])('%s', (_, findings, stages) => {
    expect(triage(findings, null).stagesAsked).toEqual(stages);
  });

  test('a stage that the job never takes is asked for and said', () => {
    const { proposal, stagesAsked, alsoAsk } = triage([found('sole-thin'), found('heel-worn', 'ask')], null);
    expect(proposal).toEqual({ is: 'job', job: 'HF' });
    expect(stagesAsked).toEqual(['HBL', 'HAT', 'BRS']);
    expect(alsoAsk.find(({ rule }) => rule === 'outside-job')?.stages).toEqual(['HBL', 'HAT', 'BRS']);
  });
});

describe('the site’s own choice', () => {
  test('where a long sole and a sole on the old welt would both do', () => {
    const worn = onLeft({ sole: 'lock' });
    expect(triage([], worn, { ...TRIAGE_DEFAULTS, newSole: 'RS' }).proposal).toEqual({
      is: 'job',
      job: 'RS',
    });
    expect(triage([], worn, { ...TRIAGE_DEFAULTS, newSole: 'LG' }).proposal).toEqual({
      is: 'job',
      job: 'LG',
    });
  });

  test('where the lock lies, and its words, as written', () => {
    const half = { ...TRIAGE_DEFAULTS, lockDepth: 0.5, lockWords: 'half way $& through' };
    const { proposal, reasons } = triage([], onLeft({ soleWornShare: 0.5 }), half);
    expect(proposal).toEqual({ is: 'job', job: 'LG' });
    expect(reasons[0]?.says).toContain('half way $& through');
  });

  test.each([-0.1, 1.1, Number.NaN])('a share of %s is refused', (soleWornShare) => {
    expect(() => triage([], onLeft({ soleWornShare }))).toThrow(RangeError);
  });

  test.each([0, 1.1, Number.NaN])('a lock at %s is refused', (lockDepth) => {
    expect(() => triage([], onLeft({}), { ...TRIAGE_DEFAULTS, lockDepth })).toThrow(RangeError);
  });
});

test('a note is a finding, and one in free words is not passed over', () => {
  const note = { shoe: 'right', zone: 'opened-rib', side: 'inside', weight: 'stop' } as const;
  const known = findingOf({ ...note, id: NOBODYS_ID, defect: 'rib-loose' });
  expect(known).toEqual({ ...note, note: NOBODYS_ID, defect: 'rib-loose' });
  expect(proposed([known])).toBe('FB');
  const ownWords = findingOf({ ...note, id: NOBODYS_ID, defect: null });
  expect(proposed([ownWords])).toBe('no-kind-of-job');
});

describe('whatever is found', () => {
  const findings: fc.Arbitrary<Finding> = fc.record(
    {
      defect: fc.oneof(
        { weight: 20, arbitrary: fc.constantFrom(...DEFECTS.map(({ id }) => id)) },
        fc.constantFrom('site-own', null),
      ),
      shoe: fc.constantFrom('left' as const, 'right' as const, 'both' as const),
      weight: fc.constantFrom(...WEIGHTS),
      zone: fc.oneof(
        fc.constantFrom(...ZONES.map(({ id }) => id)),
        fc.constantFrom('upper-feather-line', null),
      ),
      note: fc.constantFrom('a', 'b'),
      lengthMm: fc.nat(60),
      share: fc.double({ min: 0, max: 1, noNaN: true }),
    },
    { requiredKeys: ['defect', 'shoe'] },
  );
  const heaps = fc.array(findings, { maxLength: 8 });
  const shoes: fc.Arbitrary<Condition> = fc.record(
    {
      sole: fc.constantFrom('sound', 'worn', 'lock', 'through'),
      welt: fc.constantFrom('sound', 'sound', 'short-tear', 'long-tear'),
      heel: fc.constantFrom('sound', 'top-piece', 'lifts'),
      soleWornShare: fc.double({ min: 0, max: 1, noNaN: true }),
    },
    { requiredKeys: ['sole', 'welt', 'heel'] },
  );
  const pairs = fc.option(
    fc.record(
      { left: shoes, right: shoes, rebuiltBefore: fc.boolean(), upperWorthIt: fc.boolean() },
      { requiredKeys: ['left', 'right'] },
    ),
  );
  const settings = fc.record({
    lockDepth: fc.double({ min: 0.1, max: 1, noNaN: true }),
    lockWords: fc.constant('part way down'),
    newSole: fc.constantFrom('LG' as const, 'RS' as const),
  });

  const SIZES = ['nothing-to-do', 'no-kind-of-job', 'HL', 'HF', 'LG', 'RS', 'FB', 'beyond-repair-ask'];
  const size = (proposal: Proposal) => SIZES.indexOf(word(proposal));
  const jobSize = (proposal: Proposal) =>
    'job' in proposal && proposal.job ? SIZES.indexOf(proposal.job) : 0;

  test('the order of the findings does not matter, nor that one is told twice', () => {
    const shuffled = heaps.chain((heap) =>
      fc.tuple(fc.constant(heap), fc.shuffledSubarray([...heap, ...heap], { minLength: 2 * heap.length })),
    );
    fc.assert(
      fc.property(shuffled, pairs, settings, ([heap, other], pair, site) => {
        expect(triage(other, pair, site)).toEqual(triage(heap, pair, site));
      }),
      { numRuns: 500 },
    );
  });

  test('one finding more never makes the job smaller', () => {
    fc.assert(
      fc.property(heaps, findings, pairs, settings, (heap, more, pair, site) => {
        const before = triage(heap, pair, site).proposal;
        const after = triage([...heap, more], pair, site).proposal;
        expect(size(after)).toBeGreaterThanOrEqual(size(before));
        expect(jobSize(after)).toBeGreaterThanOrEqual(jobSize(before));
      }),
      { numRuns: 1500 },
    );
  });

  test('a heavier weight never makes the job smaller', () => {
    fc.assert(
      fc.property(heaps, findings, pairs, (heap, one, pair) => {
        const sizes = WEIGHTS.map((weight) => size(triage([...heap, { ...one, weight }], pair).proposal));
        expect(sizes).toEqual(sizes.toSorted((a, b) => a - b));
      }),
      { numRuns: 500 },
    );
  });

  test('there is a reason for the proposal, one for every finding, and both shoes get one job', () => {
    fc.assert(
      fc.property(heaps, pairs, settings, (heap, pair, site) => {
        const { proposal, reasons, alsoAsk } = triage(heap, pair, site);
        expect(reasons.length).toBeGreaterThan(0);
        for (const { defect, shoe } of heap) {
          const own = reasons.filter((reason) => reason.defect === defect && reason.rule !== 'look-also');
          for (const side of shoe === 'both' ? SIDES : [shoe]) {
            expect(own.some((reason) => reason.shoe === side || reason.shoe === 'both')).toBe(true);
          }
        }
        const calls = reasons.map((reason) => reason.calls);
        if (proposal.is === 'job') expect(calls[0]).toBe(proposal.job);
        if (proposal.is === 'beyond-repair-ask') expect(calls[0]).toBe('beyond');
        expect(alsoAsk).toEqual(reasons.filter(({ asks }) => asks !== null));
      }),
      { numRuns: 500 },
    );
  });

  test('no stage is asked for that the job always takes, and they come in the order of the route', () => {
    const route = STAGES.map(({ code }) => code);
    fc.assert(
      fc.property(heaps, pairs, (heap, pair) => {
        const { proposal, stagesAsked } = triage(heap, pair);
        const job = 'job' in proposal ? proposal.job : null;
        expect(stagesAsked.filter((code) => job !== null && jobStage(job, code).need === 'always')).toEqual(
          [],
        );
        expect(stagesAsked).toEqual(route.filter((code) => stagesAsked.includes(code)));
      }),
      { numRuns: 300 },
    );
  });
});
