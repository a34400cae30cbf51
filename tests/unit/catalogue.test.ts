import { describe, expect, test } from 'vitest';
import { DEFECTS, defectById, WEIGHTS } from '../../src/domain/catalogue/defects.ts';
import { FAULTS, faultById } from '../../src/domain/catalogue/faults.ts';
import { GLOSSARY } from '../../src/domain/catalogue/glossary.ts';
import { JOB_CODES, JOBS, jobStage, stagesOfJob } from '../../src/domain/catalogue/jobs.ts';
import { markOf } from '../../src/domain/catalogue/mark.ts';
import { PICTOGRAM_IDS, PICTOGRAMS } from '../../src/domain/catalogue/pictograms.ts';
import { PRECEDENCE } from '../../src/domain/catalogue/precedence.ts';
import { REMINDER_LINES } from '../../src/domain/catalogue/reminder-lines.ts';
import { CAUTION, REMINDER_KINDS, remindersFor } from '../../src/domain/catalogue/reminders.ts';
import { SOURCES, sourcesIn } from '../../src/domain/catalogue/sources.ts';
import { STAGE_GROUPS, STAGES, stageByCode, stageCodesIn } from '../../src/domain/catalogue/stages.ts';
import { oneOf, table, wordsOf } from '../../src/domain/catalogue/table.ts';
import { VIEWS, ZONES, zoneIdsIn } from '../../src/domain/catalogue/zones.ts';
import { asStageCode, type StageCode } from '../../src/domain/ids.ts';

const codes = STAGES.map((stage) => stage.code);
const zoneIds = new Set(ZONES.map((zone) => zone.id));
const marked = [...STAGES, ...DEFECTS, ...FAULTS];

const strangers = (mentioned: readonly StageCode[]) => mentioned.filter((code) => !stageByCode(code));
const doubles = (ids: readonly string[]) => ids.filter((id, index) => ids.indexOf(id) !== index);
const hardNeeds = (stage: StageCode) =>
  PRECEDENCE.filter((pair) => pair.stage === stage && pair.kind === 'hard').map((pair) => pair.needs);

/** Does whatever can be done until nothing more can; a need that the ticket does not have counts as met. */
function workThrough(ticket: readonly StageCode[]): Set<StageCode> {
  const done = new Set<StageCode>();
  const ready = () =>
    ticket.find(
      (code) => !done.has(code) && hardNeeds(code).every((need) => done.has(need) || !ticket.includes(need)),
    );
  for (let next = ready(); next !== undefined; next = ready()) done.add(next);
  return done;
}

describe('the table reader', () => {
  const read = (text: string) => table('colours', ['id', 'name'], text, (row) => row);

  test('gives one entry a row and skips blank lines', () => {
    expect(read('\n a | Black \n\n b | Tan\n')).toEqual([
      { id: 'a', name: 'Black' },
      { id: 'b', name: 'Tan' },
    ]);
  });

  test.each([
    ['a cell too few', 'a', /colours, row "a": has 1 cells, needs 2/],
    ['a cell too many', 'a | Black | x', /colours, row "a": has 3 cells, needs 2/],
    ['a blank cell', 'a | ', /colours, row "a": has a blank cell/],
    ['a key given twice', 'a | Black\na | Tan', /colours, row "a": this key stands twice/],
  ])('names table and row on %s', (_, text, message) => {
    expect(() => read(text)).toThrow(message);
  });

  test('names the row when the reader refuses a cell', () => {
    const strict = () =>
      table('colours', ['id', 'name'], 'a | Blue', (row) => oneOf(['Black', 'Tan'], row.name));
    expect(strict).toThrow('colours, row "a": "Blue" is none of Black, Tan');
  });

  test('a dash is no word', () => {
    expect(wordsOf('-')).toEqual([]);
    expect(wordsOf('a  b')).toEqual(['a', 'b']);
  });

  test.each([
    ['a stage', () => stageCodesIn('WLT XXX'), '"XXX" is no stage'],
    ['a zone', () => zoneIdsIn('edge-* lid'), '"lid" is no zone'],
    ['a pattern without a zone', () => zoneIdsIn('lid-*'), '"lid-*" is no zone'],
    ['a source', () => markOf('hearsay'), 'no source has the key "hearsay"'],
  ])('an unknown name for %s throws', (_, act, message) => {
    expect(act).toThrow(message);
  });
});

describe('counts and ids', () => {
  test.each([
    ['stages', codes, 43],
    ['stage groups in use', [...new Set(STAGES.map((stage) => stage.group))], 10],
    ['jobs', JOBS.map((job) => job.code), 5],
    ['zones', ZONES.map((zone) => zone.id), 39],
    ['defects', DEFECTS.map((defect) => defect.id), 54],
    ['faults', FAULTS.map((fault) => fault.id), 26],
    ['reminder kinds', REMINDER_KINDS.map((kind) => kind.id), 20],
    ['reminder lines', REMINDER_LINES.map((line) => line.id), 105],
    ['glossary words', GLOSSARY.map((entry) => entry.word), 67],
  ])('%s: no id stands twice and none is missing', (_, ids, count) => {
    expect(doubles(ids)).toEqual([]);
    expect(ids).toHaveLength(count);
  });

  test('stages are found by code, and an unknown code is undefined', () => {
    expect(stageByCode(asStageCode('WLT'))?.name).toBe('Welt sewing');
    expect(stageByCode(asStageCode('???'))).toBeUndefined();
  });

  test('groups follow each other in the usual order', () => {
    const places = STAGES.map((stage) => STAGE_GROUPS.indexOf(stage.group));
    expect(places).toEqual([...places].sort((a, b) => a - b));
  });

  test('names and phrases are not used twice', () => {
    expect(doubles(STAGES.map((stage) => stage.name))).toEqual([]);
    expect(doubles(STAGES.map((stage) => stage.plain))).toEqual([]);
    expect(doubles(DEFECTS.map((defect) => defect.name))).toEqual([]);
    expect(doubles(FAULTS.map((fault) => fault.name))).toEqual([]);
  });

  test('a wait is a range of whole minutes, up to two days', () => {
    for (const { settleMinutes, settleFor } of STAGES) {
      if (settleMinutes === null) expect(settleFor).toBeNull();
      else {
        expect(settleMinutes.least).toBeGreaterThan(0);
        expect(settleMinutes.most).toBeGreaterThanOrEqual(settleMinutes.least);
        expect(settleMinutes.most).toBeLessThanOrEqual(48 * 60);
      }
    }
  });
});

describe('marks', () => {
  test('a source stands beside the mark "source" and nowhere else', () => {
    const titles: readonly string[] = Object.values(SOURCES);
    for (const entry of marked) {
      expect(entry.source !== undefined).toBe(entry.mark === 'source');
      if (entry.source !== undefined) expect(titles).toContain(entry.source);
    }
  });

  test('every source is leaned on by some entry', () => {
    const used = [
      ...marked.flatMap((entry) => entry.source ?? []),
      ...REMINDER_LINES.flatMap((line) => line.drawsOn),
    ];
    const idle = Object.values(SOURCES).filter((title) => !used.some((words) => words.startsWith(title)));
    expect(idle).toEqual([]);
  });

  test('a place in a source follows its title', () => {
    expect(sourcesIn('noise; puwer regulation 11')).toEqual([
      SOURCES.noise,
      `${SOURCES.puwer}, regulation 11`,
    ]);
  });
});

describe('precedence', () => {
  test('the usual order of stages honours every hard and every usual pair, so there is no ring', () => {
    const backwards = PRECEDENCE.filter((pair) => codes.indexOf(pair.needs) >= codes.indexOf(pair.stage));
    expect(backwards).toEqual([]);
  });

  test('every stage but the first has a need, and none stands twice', () => {
    const needy = new Set(PRECEDENCE.filter((pair) => pair.kind === 'hard').map((pair) => pair.stage));
    expect(codes.filter((code) => !needy.has(code))).toEqual(['REC']);
    expect(doubles(PRECEDENCE.map((pair) => `${pair.stage} ${pair.needs}`))).toEqual([]);
    expect(PRECEDENCE).toHaveLength(71);
  });

  test.each(JOB_CODES)(
    '%s can be worked from booking in to dispatch, with and without the stages done if needed',
    (job) => {
      for (const only of ['always', 'all'] as const) {
        const ticket = stagesOfJob(job, only);
        expect(ticket[0]).toBe('REC');
        expect(ticket.at(-1)).toBe('DSP');
        expect([...workThrough(ticket)].sort()).toEqual([...ticket].sort());
      }
    },
  );
});

describe('jobs', () => {
  test('a full rebuild takes every stage, and only closing repairs wait for a need', () => {
    const notAlways = codes.filter((code) => jobStage('FB', code).need !== 'always');
    expect(notAlways).toEqual(['CLO']);
    expect(jobStage('FB', asStageCode('CLO')).need).toBe('if-needed');
  });

  test('jobs that keep the welt skip the welt work, save a patch', () => {
    for (const job of ['HL', 'HF', 'LG'] as const)
      expect(jobStage(job, asStageCode('WLT')).need).toBe('never');
    expect(jobStage('RS', asStageCode('WLT'))).toEqual({ need: 'if-needed', variant: 'welt patch only' });
  });

  test('every stage of the catalogue is taken by some job', () => {
    expect(codes.filter((code) => JOB_CODES.every((job) => jobStage(job, code).need === 'never'))).toEqual(
      [],
    );
  });

  test('a stage of the house is never needed by default', () => {
    expect(jobStage('FB', asStageCode('GLS'))).toEqual({ need: 'never', variant: null });
  });
});

describe('zones', () => {
  test('each view has zones, and a zone that lies on one side does not ask for a side', () => {
    expect([...new Set(ZONES.map((zone) => zone.view))]).toEqual([...VIEWS]);
    expect(ZONES.filter((zone) => zone.side !== null && zone.hasSide)).toEqual([]);
  });

  test('each zone on one side has its twin on the other', () => {
    const sided = ZONES.filter((zone) => zone.side === 'inside').map((zone) => zone.id);
    expect(sided).toHaveLength(5);
    expect(sided.filter((id) => !zoneIds.has(id.replace(/-inside$/, '-outside')))).toEqual([]);
  });

  test('every zone can hold some defect', () => {
    const held = new Set(DEFECTS.flatMap((defect) => defect.zones));
    expect([...zoneIds].filter((id) => !held.has(id))).toEqual([]);
  });
});

describe('defects', () => {
  test('zones and stages exist, and only what belongs to the pair has no zone', () => {
    for (const defect of DEFECTS) {
      expect(defect.zones.filter((id) => !zoneIds.has(id))).toEqual([]);
      expect(strangers([...defect.seeAt, ...defect.cureAt])).toEqual([]);
      expect(doubles(defect.zones)).toEqual([]);
      expect(defect.seeAt).not.toEqual([]);
    }
    expect(DEFECTS.filter((defect) => defect.zones.length === 0).map((defect) => defect.id)).toEqual([
      'pair-odd',
      'last-missing',
    ]);
  });

  test('weights stand lightest first and hold the usual one', () => {
    for (const { weights, usualWeight } of DEFECTS) {
      expect(weights).toEqual(WEIGHTS.filter((weight) => weights.includes(weight)));
      expect(weights).toContain(usualWeight);
    }
  });

  test('what can stop the job says what lifts it, and what only wants a look never halts it', () => {
    for (const defect of DEFECTS) {
      if (defect.weights.includes('stop')) expect(defect.stops).not.toBeNull();
      if (defect.weights.every((weight) => weight === 'mind')) expect(defect.stops).toBeNull();
    }
  });

  test('what no stage cures says what is done instead', () => {
    expect(DEFECTS.filter((defect) => defect.cureAt.length === 0 && defect.cureBy === null)).toEqual([]);
  });

  test('the usual weight need not be the lightest', () => {
    expect(defectById('edge-rough')).toMatchObject({ weights: ['mind', 'mend', 'ask'], usualWeight: 'mend' });
    expect(defectById('welt-stitch-rot')).toMatchObject({ weights: ['mend', 'stop'], usualWeight: 'stop' });
    expect(defectById('none-such')).toBeUndefined();
  });
});

describe('faults', () => {
  test('stages exist, and each fault says where the shoe goes or what is done', () => {
    for (const fault of FAULTS) {
      expect(strangers([...fault.madeAt, ...fault.foundAt, ...fault.backTo, ...fault.again])).toEqual([]);
      expect(fault.madeAt).not.toEqual([]);
      expect(fault.backTo.length > 0 || fault.words !== null).toBe(true);
    }
  });

  test('only stages after the first place it may go back to are done again', () => {
    for (const { backTo, again } of FAULTS) {
      const earliest = Math.min(...backTo.map((code) => codes.indexOf(code)));
      expect(again.filter((code) => codes.indexOf(code) < earliest)).toEqual([]);
    }
  });

  test('a difference in shade is put right on both shoes', () => {
    expect(FAULTS.filter((fault) => fault.bothShoes).map((fault) => fault.id)).toEqual(['w-stain-odd']);
    expect(faultById('w-stain-odd')?.backTo).toEqual(['EST', 'BST']);
  });
});

describe('reminders', () => {
  test('every line fits, belongs to one kind and carries a known sign', () => {
    for (const line of REMINDER_LINES) {
      expect(line.text.length).toBeLessThanOrEqual(60);
      expect(line.text).toMatch(/^[A-Z].*\.$/);
      expect(PICTOGRAM_IDS).toContain(line.pictogram);
      expect(REMINDER_KINDS.filter((kind) => kind.lines.includes(line))).toHaveLength(1);
      expect(line.mark === 'source' && line.drawsOn.length === 0).toBe(false);
      expect(line.mark === 'common-practice' && line.drawsOn.length > 0).toBe(false);
    }
  });

  test('signs that are drawn are used, and the caution stands under "read the manual"', () => {
    const used = new Set([...REMINDER_LINES.map((line) => line.pictogram), CAUTION.pictogram]);
    expect(PICTOGRAM_IDS.filter((id) => !used.has(id))).toEqual([]);
    expect(PICTOGRAMS[CAUTION.pictogram].iso7010).toBe('M002');
    expect(CAUTION.short.length).toBeLessThanOrEqual(60);
  });

  test('a stage shows its own lines first, then those of every machine, then of moving pairs', () => {
    const kinds = remindersFor(asStageCode('ETR')).map((line) => line.id.replace(/-\d+$/, ''));
    expect([...new Set(kinds)]).toEqual(['TRIM', 'GEN', 'LIFT']);
    expect(kinds).toHaveLength(6 + 10 + 4);
  });

  test('stages without a line of their own show none', () => {
    const silent = codes.filter((code) => remindersFor(code).length === 0);
    expect(silent).toEqual(['TRI', 'OWN', 'WRP', 'LAC']);
    expect(remindersFor(asStageCode('???'))).toEqual([]);
  });

  test('the final check feels for nail points and shows nothing else of heel nailing', () => {
    const ids = remindersFor(asStageCode('CHK')).map((line) => line.id);
    expect(ids).toEqual(['HEEL-6', 'LIFT-1', 'LIFT-2', 'LIFT-3', 'LIFT-4']);
  });

  test('no machine stage is without the lines of every machine', () => {
    const bare = STAGES.filter((stage) => stage.how === 'machine' || stage.how === 'either').filter(
      (stage) => !remindersFor(stage.code).some((line) => line.id === 'GEN-1'),
    );
    expect(bare).toEqual([]);
  });
});
