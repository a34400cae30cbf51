/** Changes to a site's book: each that stands, each that is refused and why, and that old versions stay as they were. */
import { describe, expect, test } from 'vitest';
import { REMINDER_LINES } from '../../src/domain/catalogue/reminder-lines.ts';
import { remindersFor } from '../../src/domain/catalogue/reminders.ts';
import { siteRoutes, siteStages, siteWays } from '../../src/domain/catalogue/site-start.ts';
import { STAGES } from '../../src/domain/catalogue/stages.ts';
import { issueToken } from '../../src/domain/code.ts';
import { asOperativeId, asStageCode, type StageCode } from '../../src/domain/ids.ts';
import { DAY_MS } from '../../src/domain/instant.ts';
import { JOBS } from '../../src/domain/record/kinds.ts';
import { routesNow, routesOf, type SiteBook, siteBookSchema } from '../../src/domain/site-book.ts';
import type { ChangeContext } from '../../src/domain/site-change-draft.ts';
import type { SiteFault } from '../../src/domain/site-change-faults.ts';
import { type SiteChange, siteChangeSchema } from '../../src/domain/site-change-kinds.ts';
import { safetyClaim } from '../../src/domain/site-change-reminders.ts';
import { ringIn } from '../../src/domain/site-change-ring.ts';
import { changeSite, changeSiteInOne, ROUTE_VERSIONS_MAX } from '../../src/domain/site-changes.ts';
import { needOf, routeOfJob } from '../../src/domain/site-routes.ts';
import { siteFaultLine } from '../../src/words/site-faults.ts';
import { INES, MONDAY_8, siteBook } from '../support/builders.ts';

const code = asStageCode;
const RACK = issuedRack();
function issuedRack(): string {
  for (let draw = 0; ; draw += 1) {
    const rack = issueToken(
      'rack',
      Uint8Array.from({ length: 12 }, (_, place) => draw + place),
    );
    if (rack !== null) return rack;
  }
}

const NOBODY_IN: ChangeContext = { now: MONDAY_8, today: '2026-11-02', pairsOpenAt: new Map() };

const whole = (told: Partial<SiteBook> = {}) =>
  siteBook({
    stages: siteStages(STAGES),
    routes: [siteRoutes(STAGES)],
    ways: siteWays(STAGES),
    closingStage: code('DSP'),
    ...told,
  });

function changed(change: SiteChange, book = whole(), context = NOBODY_IN): SiteBook {
  const answer = changeSite(book, change, context);
  if ('faults' in answer) throw new Error(JSON.stringify(answer.faults));
  // Whatever comes out can be kept: the ledger reads it by the schema.
  expect(siteBookSchema.parse(answer.ok)).toEqual(answer.ok);
  return answer.ok;
}

function faultsOf(change: SiteChange, book = whole(), context = NOBODY_IN): readonly SiteFault[] {
  const answer = changeSite(book, change, context);
  return 'faults' in answer ? answer.faults : [];
}

const routesIn = (book: SiteBook) => {
  const routes = routesNow(book);
  if (routes === null) throw new Error('no routes');
  return routes;
};
const need = (stage: string, needs: string, kind: 'hard' | 'usual' | null): SiteChange => ({
  change: 'need',
  stage: code(stage),
  needs: code(needs),
  kind,
});
const take = (
  stage: string,
  job: (typeof JOBS)[number],
  how: 'always' | 'if-needed' | 'never',
): SiteChange => ({
  change: 'take-stage',
  stage: code(stage),
  job,
  need: how,
});
const OWN: SiteChange = {
  change: 'add-stage',
  code: 'tag',
  name: 'Tagging',
  plain: 'being tagged',
  before: code('PUL'),
  takes: ['never', 'always', 'always', 'always', 'always'],
  needs: [code('TRI')],
};

describe('versions of the routes', () => {
  test('a change of the routes is a new version, and the one before stays as it was', () => {
    const before = whole();
    const after = changed(take('WRP', 'FB', 'if-needed'), before);
    expect(after.routes.map(({ version, since }) => [version, since])).toEqual([
      [1, 0],
      [2, MONDAY_8],
    ]);
    expect(after.routes[0]).toEqual(before.routes[0]);
    expect(needOf(routesIn(after), 'FB', code('WRP'))).toBe('if-needed');
    // A pair logged under version 1 keeps it.
    const kept = routesOf(after, 1);
    expect(kept !== null && needOf(kept, 'FB', code('WRP'))).toBe('always');
  });

  test('many changes in one are one version', () => {
    const answer = changeSiteInOne(
      whole(),
      [take('WRP', 'FB', 'never'), need('SOK', 'UPL', 'hard'), OWN],
      NOBODY_IN,
    );
    expect('ok' in answer && answer.ok.routes.length).toBe(2);
  });

  test('there and back again is no change at all', () => {
    const book = whole();
    const answer = changeSiteInOne(
      book,
      [take('WRP', 'FB', 'never'), take('WRP', 'FB', 'always')],
      NOBODY_IN,
    );
    expect('ok' in answer && answer.ok.routes).toEqual(book.routes);
  });

  test('what does not change leaves the very same book', () => {
    const book = whole();
    expect(changed(take('WRP', 'FB', 'always'), book)).toBe(book);
    expect(changed(need('WRP', 'CHK', null), book)).toBe(book);
  });

  test('a stage’s name or wait is no version of the routes', () => {
    const change = {
      change: 'name-stage',
      stage: code('LAY'),
      name: 'Soling',
      plain: 'being soled',
    } as const;
    expect(changed(change).routes.length).toBe(1);
  });

  test('one change in many that cannot be leaves all of them undone, and is named', () => {
    const answer = changeSiteInOne(whole(), [OWN, need('LAY', 'STI', 'hard')], NOBODY_IN);
    expect(answer).toMatchObject({ at: 1, faults: [{ fault: 'ring' }] });
  });

  test('a site without routes begins with the catalogue’s, of the stages that it has', () => {
    const book = siteBook();
    const after = changed(take('WLT', 'HL', 'if-needed'), book);
    expect(after.routes.length).toBe(1);
    expect(needOf(routesIn(after), 'HL', code('WLT'))).toBe('if-needed');
    expect(needOf(routesIn(after), 'FB', code('STI'))).toBe('never');
  });

  test('when no more versions fit, only one superseded long ago makes room', () => {
    const [first] = whole().routes;
    if (first === undefined) throw new Error('no routes');
    const full = (everyMs: number) =>
      whole({
        routes: Array.from({ length: ROUTE_VERSIONS_MAX }, (_, index) => ({
          ...first,
          version: index + 1,
          since: MONDAY_8 - (ROUTE_VERSIONS_MAX - index) * everyMs,
        })),
      });
    expect(faultsOf(take('WRP', 'FB', 'never'), full(DAY_MS))).toMatchObject([
      { fault: 'too-many', what: 'versions' },
    ]);
    const after = changed(take('WRP', 'FB', 'never'), full(10 * DAY_MS));
    expect(after.routes.length).toBe(ROUTE_VERSIONS_MAX);
    expect([after.routes[0]?.version, after.routes.at(-1)?.version]).toEqual([2, ROUTE_VERSIONS_MAX + 1]);
  });
});

describe('routes that cannot be worked', () => {
  test('a ring is named with its stages, each waiting for the next', () => {
    const [fault] = faultsOf(need('LAY', 'LEV', 'hard'));
    if (fault?.fault !== 'ring') throw new Error('no ring');
    expect([...fault.stages].sort()).toEqual(['LAY', 'LEV', 'RND', 'STI'].sort());
    const needs = [...routesIn(whole()).needs, { stage: code('LAY'), needs: code('LEV'), kind: 'hard' }];
    for (const [index, stage] of fault.stages.entries()) {
      const next = fault.stages[(index + 1) % fault.stages.length];
      expect(needs.some((one) => one.stage === stage && one.needs === next)).toBe(true);
    }
  });

  test('a stage that would wait for itself is a ring of one', () => {
    expect(faultsOf(need('LAY', 'LAY', 'hard'))).toEqual([{ fault: 'ring', stages: [code('LAY')] }]);
  });

  test('a habit that runs against a need is a ring too', () => {
    expect(faultsOf(need('WLT', 'CRK', 'usual'))).toMatchObject([{ fault: 'ring' }]);
  });

  test('a need on a stage that the site does not have', () => {
    expect(faultsOf(need('LAY', 'XYZ', 'hard'))).toEqual([
      { fault: 'needs-unknown', stage: code('LAY'), needs: code('XYZ') },
    ]);
    expect(faultsOf({ ...OWN, needs: [code('XYZ')] } as SiteChange)).toMatchObject([
      { fault: 'needs-unknown', needs: code('XYZ') },
    ]);
  });

  test('a stage after the one that closes the pair could never be due', () => {
    expect(faultsOf({ ...OWN, needs: [code('DSP')] } as SiteChange)).toMatchObject([
      { fault: 'after-closing', stage: code('TAG'), closing: code('DSP') },
    ]);
    // Where no job takes it, nothing is wrong yet; it is when one does.
    const aldermoor = whole({ closingStage: code('BOX') });
    const off = changeSiteInOne(
      aldermoor,
      JOBS.map((job) => take('DSP', job, 'never')),
      NOBODY_IN,
    );
    if (!('ok' in off)) throw new Error(JSON.stringify(off));
    expect(faultsOf(take('DSP', 'FB', 'if-needed'), off.ok)).toMatchObject([
      { fault: 'after-closing', stage: code('DSP'), job: 'FB' },
    ]);
  });

  test('a stage that no job takes is not added', () => {
    expect(faultsOf({ ...OWN, takes: JOBS.map(() => 'never') } as SiteChange)).toEqual([
      { fault: 'no-job-takes', stage: code('TAG') },
    ]);
  });

  test('the stage that closes a pair is taken by every job, always, and stays', () => {
    expect(faultsOf(take('DSP', 'HL', 'if-needed'))).toEqual([{ fault: 'closing', stage: code('DSP') }]);
    expect(faultsOf({ change: 'remove-stage', stage: code('DSP') })).toEqual([
      { fault: 'closing', stage: code('DSP') },
    ]);
  });

  test('what was wrong before does not stand in the way of something else', () => {
    const book = whole({ closingStage: code('LAY') });
    expect(faultsOf(take('WRP', 'FB', 'never'), book)).toEqual([]);
  });
});

describe('stages', () => {
  test('are named, and the order of the book follows the routes', () => {
    const after = changed({ change: 'move-stage', stage: code('FND'), before: code('CLN') });
    const codes = after.stages.map((stage) => stage.code);
    expect(codes.indexOf(code('FND'))).toBe(codes.indexOf(code('CLN')) - 1);
    expect(routesIn(after).steps.map(({ stage }) => stage)).toEqual(codes);
    const last = changed({ change: 'move-stage', stage: code('FND'), before: null });
    expect(last.stages.at(-1)?.code).toBe('FND');
  });

  test('of the site’s own stand where they were put, on the jobs that take them, after what they need', () => {
    const after = changed(OWN);
    const step = routeOfJob(routesIn(after), 'FB').find(({ stage }) => stage === 'TAG');
    expect(step).toMatchObject({ need: 'always', after: [code('TRI')] });
    expect(routeOfJob(routesIn(after), 'HL').some(({ stage }) => stage === 'TAG')).toBe(false);
    expect(after.stages.find((stage) => stage.code === 'TAG')).toEqual({
      code: 'TAG',
      name: 'Tagging',
      plain: 'being tagged',
      machine: false,
      reminds: false,
      settles: null,
    });
  });

  test.each<[string, SiteChange, SiteFault['fault']]>([
    ['a code of the catalogue', { ...OWN, code: 'WLT' } as SiteChange, 'code-taken'],
    ['a code with a blank', { ...OWN, code: 'T G' } as SiteChange, 'code-form'],
    ['no name', { ...OWN, name: '  ' } as SiteChange, 'text-empty'],
    ['a name of two lines', { ...OWN, name: 'Tag\nging' } as SiteChange, 'text-form'],
    ['a name that another has', { ...OWN, name: 'sole LAYING' } as SiteChange, 'name-taken'],
    ['a name too long', { ...OWN, name: 'x'.repeat(41) } as SiteChange, 'text-long'],
    ['a place before nobody', { ...OWN, before: code('XYZ') } as SiteChange, 'stage-unknown'],
    [
      'a wait the wrong way round',
      { change: 'settle-stage', stage: code('LAY'), settles: { least: 60, most: 10 } },
      'wait',
    ],
    [
      'a wait of two months',
      { change: 'settle-stage', stage: code('LAY'), settles: { least: 1, most: 86_400 } },
      'wait-long',
    ],
    [
      'a stage that is nobody’s',
      { change: 'machine-stage', stage: code('XYZ'), machine: true },
      'stage-unknown',
    ],
  ])('%s is refused', (_, change, fault) => {
    expect(faultsOf(change).map((one) => one.fault)).toEqual([fault]);
  });

  test('a removed stage hands its needs on, and the order of the others stays as it was', () => {
    const before = whole();
    const after = changed({ change: 'remove-stage', stage: code('SHK') }, before);
    const { needs, steps } = routesIn(after);
    expect(steps.some(({ stage }) => stage === 'SHK')).toBe(false);
    expect(needs.some((one) => one.stage === 'SHK' || one.needs === 'SHK')).toBe(false);
    expect(needs).toContainEqual({ stage: code('CRK'), needs: code('BEA'), kind: 'hard' });
    for (const job of JOBS) {
      const skipped = routeOfJob(routesIn(before), job, [], [code('SHK')]);
      const gone = routeOfJob(routesIn(after), job);
      const plain = (route: typeof gone) =>
        route.map(({ stage, after: first }) => [stage, [...first].sort()] as const);
      expect(plain(gone)).toEqual(plain(skipped));
    }
  });

  test('its name stays, for the pairs that were logged before, and stands last', () => {
    const after = changed({ change: 'remove-stage', stage: code('SHK') });
    expect(after.stages.at(-1)).toMatchObject({ code: 'SHK', name: 'Shank' });
    expect(after.routes[0]?.steps.some(({ stage }) => stage === 'SHK')).toBe(true);
  });

  test('one that was added and taken away before it was saved leaves nothing', () => {
    const answer = changeSiteInOne(whole(), [OWN, { change: 'remove-stage', stage: code('TAG') }], NOBODY_IN);
    expect('ok' in answer && answer.ok.stages.some((stage) => stage.code === 'TAG')).toBe(false);
    expect('ok' in answer && answer.ok.routes.length).toBe(1);
  });

  test('it comes back where it stood, with the needs that it had', () => {
    const before = whole();
    const without = changed({ change: 'remove-stage', stage: code('SHK') }, before);
    const back = changed({ change: 'bring-back-stage', stage: code('SHK') }, without);
    expect(routesIn(back).steps).toEqual(routesIn(before).steps);
    for (const one of routesIn(before).needs) expect(routesIn(back).needs).toContainEqual(one);
  });

  test('a stage that pairs are on is neither taken away nor switched off for the last job', () => {
    const context = { ...NOBODY_IN, pairsOpenAt: new Map<StageCode, number>([[code('WLT'), 3]]) };
    const fault = { fault: 'open-pairs', stage: code('WLT'), pairs: 3 } as const;
    expect(faultsOf({ change: 'remove-stage', stage: code('WLT') }, whole(), context)).toEqual([fault]);
    const onlyFull = changed(take('WLT', 'RS', 'never'), whole(), context);
    expect(faultsOf(take('WLT', 'FB', 'never'), onlyFull, context)).toEqual([fault]);
    expect(faultsOf(take('WLT', 'FB', 'never'), onlyFull)).toEqual([]);
  });

  test('a stage with a part in the pair’s way gives that part up first', () => {
    expect(faultsOf({ change: 'remove-stage', stage: code('CHK') })).toEqual([
      { fault: 'has-way', stage: code('CHK'), way: 'check' },
    ]);
    const after = changed({ change: 'remove-stage', stage: code('EST') });
    expect(after.ways.colour).not.toContain('EST');
    expect(after.ways.together).not.toContain('EST');
  });

  test('a stage that the site never did comes into its book once it is changed', () => {
    const done = STAGES.filter((stage) => stage.code !== 'WRP');
    const book = whole({ stages: siteStages(done), routes: [siteRoutes(done)] });
    const after = changed(
      { change: 'name-stage', stage: code('WRP'), name: 'Film', plain: 'being wrapped' },
      book,
    );
    expect(after.stages.find((stage) => stage.code === 'WRP')?.name).toBe('Film');
  });
});

describe('ways', () => {
  const ways = whole().ways;

  test('are set as they are said', () => {
    const after = changed({ change: 'set-ways', ways: { ...ways, check: code('UPL'), colour: [] } });
    expect(after.ways).toEqual({ ...ways, check: 'UPL', colour: [] });
  });

  test.each<[string, Partial<typeof ways>, SiteFault]>([
    ['an unknown stage', { check: code('XYZ') }, { fault: 'way-unknown', stage: code('XYZ'), way: 'check' }],
    [
      'among several',
      { together: [code('XYZ')] },
      { fault: 'way-unknown', stage: code('XYZ'), way: 'together' },
    ],
    ['a last that is never freed', { lastTo: null }, { fault: 'lasts-half' }],
    [
      'a last freed before it is taken',
      { lastFrom: code('SLP'), lastTo: code('LAS') },
      { fault: 'lasts-order', from: code('SLP'), to: code('LAS') },
    ],
  ])('%s is refused', (_, part, fault) => {
    expect(faultsOf({ change: 'set-ways', ways: { ...ways, ...part } })).toEqual([fault]);
  });
});

describe('reminders', () => {
  const word = (text: string, told = {}): SiteChange => ({
    change: 'word-reminder',
    line: 'SCOUR-1',
    text,
    by: 'Ruth Adeyemi',
    review: '2027-11-02',
    ...told,
  });

  test('a wording keeps who worded it, on which day, and its review', () => {
    const after = changed(word('Fan on and gauge in the green.'));
    expect(after.reminders).toEqual({
      version: 1,
      wordings: [
        {
          line: 'SCOUR-1',
          text: 'Fan on and gauge in the green.',
          by: 'Ruth Adeyemi',
          on: '2026-11-02',
          review: '2027-11-02',
        },
      ],
    });
    const off = changed(
      { change: 'switch-off-reminder', line: 'SCOUR-1', by: 'Ruth Adeyemi', review: '2026-11-02' },
      after,
    );
    expect(off.reminders).toMatchObject({ version: 2, wordings: [{ line: 'SCOUR-1', text: null }] });
    const back = changed({ change: 'restore-reminder', line: 'SCOUR-1' }, off);
    expect(back.reminders).toEqual({ version: 3, wordings: [] });
    expect(back.routes.length).toBe(1);
  });

  test.each<[string, SiteChange, SiteFault]>([
    [
      'one of 61 characters',
      word('x'.repeat(61)),
      { fault: 'text-long', what: 'reminder', most: 60, length: 61 },
    ],
    ['an empty one', word(' '), { fault: 'text-empty', what: 'reminder' }],
    ['one of two lines', word('Fan on.\nGauge.'), { fault: 'text-form', what: 'reminder' }],
    ['one without an author', word('Fan on.', { by: '' }), { fault: 'text-empty', what: 'author' }],
    [
      'a review day before today',
      word('Fan on.', { review: '2026-11-01' }),
      { fault: 'review-past', review: '2026-11-01', today: '2026-11-02' },
    ],
    [
      'a line that there is not',
      word('Fan on.', { line: 'NONE-1' }),
      { fault: 'reminder-unknown', line: 'NONE-1' },
    ],
    ['a claim', word('This band is safe with the guard down.'), { fault: 'claims-safety', words: 'safe' }],
  ])('%s is refused', (_, change, fault) => {
    expect(faultsOf(change)).toEqual([fault]);
  });

  test('a stage of which every line is off asks for no tap, and does again once one is back', () => {
    const stage = code('STI');
    const changes = remindersFor(stage).map(({ id }) => ({
      change: 'switch-off-reminder' as const,
      line: id,
      by: 'Ruth Adeyemi',
      review: '2027-11-02',
    }));
    const off = changeSiteInOne(whole(), changes, NOBODY_IN);
    if (!('ok' in off)) throw new Error(JSON.stringify(off));
    const reminds = (book: SiteBook) => book.stages.find((one) => one.code === stage)?.reminds;
    expect([reminds(whole()), reminds(off.ok)]).toEqual([true, false]);
    expect(reminds(changed({ change: 'restore-reminder', line: 'STITCH-1' }, off.ok))).toBe(true);
  });

  test('60 characters and a review today are within the bounds', () => {
    expect(changed(word('x'.repeat(60), { review: '2026-11-02' })).reminders.version).toBe(1);
  });

  test.each([
    'The press is safe.',
    'You can safely reach in.',
    'This trimmer complies with EN 930.',
    'CE-marked: no guard needed.',
    'It cannot hurt you.',
    'No risk once the band stops.',
  ])('“%s” claims a machine to be safe', (text) => {
    expect(safetyClaim(text)).not.toBeNull();
  });

  test.each([
    'Not safe without its guard.',
    'Unsafe? Tag it.',
    'Wear safety glasses.',
    'Mind the risk of burns.',
  ])('“%s” claims nothing', (text) => {
    expect(safetyClaim(text)).toBeNull();
  });

  test('no line of the catalogue claims a machine to be safe', () => {
    expect(REMINDER_LINES.filter(({ text }) => safetyClaim(text) !== null)).toEqual([]);
  });
});

describe('releases', () => {
  const machines = ['WLT', 'RND', 'STI', 'SC1', 'SC2', 'ETR', 'EPL', 'BSC'];
  const released = (book: SiteBook) => book.operatives.find(({ id }) => id === INES)?.released;

  test('taken from a hand without a list, one leaves a list of all the others', () => {
    const after = changed({ change: 'release', operative: INES, stage: code('STI'), released: false });
    expect(released(after)).toEqual(machines.filter((one) => one !== 'STI'));
    const again = changed({ change: 'release', operative: INES, stage: code('STI'), released: true }, after);
    expect(new Set(released(again))).toEqual(new Set(machines));
  });

  test('a list begins with every machine stage, and can be given up', () => {
    const kept = changed({ change: 'release-list', operative: INES, kept: true });
    expect(released(kept)).toEqual(machines);
    expect(released(changed({ change: 'release-list', operative: INES, kept: false }, kept))).toBeNull();
  });

  test.each<[string, SiteChange, SiteFault['fault']]>([
    [
      'for a stage without a machine',
      { change: 'release', operative: INES, stage: code('LAY'), released: true },
      'no-machine',
    ],
    [
      'of somebody unknown',
      { change: 'release', operative: asOperativeId('op-gone'), stage: code('STI'), released: true },
      'operative-unknown',
    ],
  ])('%s is refused', (_, change, fault) => {
    expect(faultsOf(change).map((one) => one.fault)).toEqual([fault]);
  });
});

describe('racks', () => {
  const add = (rack: string, name: string): SiteChange => ({ change: 'add-rack', rack, name });

  test('are added, named anew and taken away', () => {
    const one = changed(add(RACK, 'Wait after levelling'));
    expect(one.racks).toEqual([{ rack: RACK, name: 'Wait after levelling' }]);
    const named = changed({ change: 'name-rack', rack: RACK, name: 'By the window' }, one);
    expect(named.racks).toEqual([{ rack: RACK, name: 'By the window' }]);
    expect(changed({ change: 'remove-rack', rack: RACK }, named).racks).toEqual([]);
    expect(faultsOf({ change: 'remove-rack', rack: RACK })).toMatchObject([{ fault: 'rack-unknown' }]);
  });

  test('a code twice, a name twice and a code whose check fails are refused', () => {
    const one = changed(add(RACK, 'Window'));
    expect(faultsOf(add(RACK, 'Door'), one)).toEqual([{ fault: 'rack-taken', rack: RACK }]);
    expect(faultsOf(add('R0000001', 'Door'), one)).toEqual([{ fault: 'rack-form', rack: 'R0000001' }]);
    expect(faultsOf({ change: 'name-rack', rack: RACK, name: '' }, one)).toMatchObject([
      { fault: 'text-empty' },
    ]);
  });
});

test('figures about single persons: switched off, or shown for so many days, and nothing else of the book', () => {
  const off: SiteChange = { change: 'personal', personal: { figures: false, keepDays: null } };
  expect(changed(off)).toEqual({ ...whole(), personal: off.personal });
  const kept: SiteChange = { change: 'personal', personal: { figures: true, keepDays: 90 } };
  expect(changed(kept, changed(off)).personal).toEqual(kept.personal);
  const book = whole();
  expect(changed({ change: 'personal', personal: { ...book.personal } }, book)).toBe(book);
  expect(siteChangeSchema.safeParse({ ...off, personal: { figures: true, keepDays: 0 } }).success).toBe(
    false,
  );
});

test('a ring is found wherever it hangs, and none where there is none', () => {
  const n = (stage: string, needs: string) => ({ stage: code(stage), needs: code(needs) });
  expect(ringIn([n('A1', 'B1'), n('B1', 'C1'), n('C1', 'D1'), n('D1', 'B1')])).toEqual(['B1', 'C1', 'D1']);
  expect(ringIn([n('A1', 'B1'), n('A1', 'C1'), n('B1', 'D1'), n('C1', 'D1')])).toBeNull();
});

test('every change of this file reads by the schema of what a desk may send', () => {
  for (const change of [OWN, need('LAY', 'STI', null), take('WRP', 'FB', 'never')]) {
    expect(siteChangeSchema.parse(change)).toEqual(change);
  }
});

test('a fault is told with the names of the stages, and what to do', () => {
  const ring: SiteFault = { fault: 'ring', stages: [code('LAY'), code('STI'), code('RND')] };
  expect(siteFaultLine(ring, whole())).toEqual({
    says: 'These would wait for each other: Sole laying for Sole stitching, Sole stitching for Rough rounding, and Rough rounding for Sole laying',
    next: 'Take one of these needs away first',
  });
  expect(siteFaultLine({ fault: 'open-pairs', stage: code('WLT'), pairs: 1 }, whole()).says).toBe(
    '1 pair is clocked in at Welt sewing',
  );
});
