/**
 * Logs against OCEL 2.0 (Berti and others, specification of 2023-10-16): its JSON Schema (section 8.2), checked by ajv, and
 * what a schema cannot say: every relationship names an object that is there, every attribute is of its declared type,
 * nothing comes twice. Logs of the demo's workshop and of histories at random.
 */
import { readFileSync } from 'node:fs';
import { Ajv } from 'ajv';
import addFormats from 'ajv-formats';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import * as z from 'zod';
import { pairStates } from '../../demo-data/due.ts';
import { makeWorkshop } from '../../demo-data/records.ts';
import type { PairLog } from '../../src/domain/export/happenings.ts';
import { standing, storyOf } from '../../src/domain/export/happenings.ts';
import { type LogSource, ocelText } from '../../src/domain/export/ocel.ts';
import { calledByName, exportView } from '../../src/domain/export/view.ts';
import type { Placed } from '../../src/domain/fold/order.ts';
import type { OperativeId, PairId } from '../../src/domain/ids.ts';
import { MINUTE_MS } from '../../src/domain/instant.ts';
import { type LedgerRecord, pairOf } from '../../src/domain/record/kinds.ts';
import { handAt, INES, LAY, PAIR, placed, RUTH, siteBook, TOMASZ, WELTING } from '../support/builders.ts';
import { honestHistories, wildHeaps } from '../support/histories.ts';
import '../support/property-seed.ts';

const schema: unknown = JSON.parse(readFileSync(new URL('./ocel20.schema.json', import.meta.url), 'utf8'));
const ajv = new Ajv({ strict: false, allErrors: true });
addFormats.default(ajv);
const fits = ajv.compile(schema as object);

/** The part of a log that these tests look into. */
const attribute = z.object({ name: z.string(), value: z.string() });
const relationship = z.object({ objectId: z.string(), qualifier: z.string() });
const type = z.object({
  name: z.string(),
  attributes: z.array(z.object({ name: z.string(), type: z.string() })),
});
const logSchema = z.object({
  eventTypes: z.array(type),
  objectTypes: z.array(type),
  events: z.array(
    z.object({
      id: z.string(),
      type: z.string(),
      time: z.string(),
      attributes: z.array(attribute),
      relationships: z.array(relationship),
    }),
  ),
  objects: z.array(
    z.object({
      id: z.string(),
      type: z.string(),
      attributes: z.array(attribute.extend({ time: z.string() })),
      relationships: z.array(relationship),
    }),
  ),
});
type Log = z.infer<typeof logSchema>;

const called = (hand: OperativeId) => `called-${[...hand].reverse().join('')}`;
const view = exportView(siteBook(), called);

async function logOf(
  pairs: readonly PairLog[],
  benchRecords: readonly LedgerRecord[] = [],
  by = view,
): Promise<Log> {
  const source: LogSource = {
    pairs: async function* () {
      yield* pairs;
    },
    benchRecords: async function* () {
      yield* benchRecords;
    },
  };
  let text = '';
  for await (const piece of ocelText(source, by)) text += piece;
  const log: unknown = JSON.parse(text);
  expect(fits(log), JSON.stringify(fits.errors?.slice(0, 3))).toBe(true);
  return logSchema.parse(log);
}

/** RFC 3339, section 5.6, as far as we write it. */
const TIME = /^\d{4}-(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])T([01]\d|2[0-3]):[0-5]\d:[0-5]\d\.\d{3}Z$/;

/** Everything that the schema leaves open; a list of what is wrong, none in a good log. */
function faultsIn({ eventTypes, objectTypes, events, objects }: Log): readonly string[] {
  const faults: string[] = [];
  const once = (what: string, names: readonly string[]) => {
    if (new Set(names).size !== names.length) faults.push(`${what} twice`);
  };
  once(
    'event type',
    eventTypes.map(({ name }) => name),
  );
  once(
    'object type',
    objectTypes.map(({ name }) => name),
  );
  once(
    'event',
    events.map(({ id }) => id),
  );
  once(
    'object',
    objects.map(({ id }) => id),
  );
  const here = new Set(objects.map(({ id }) => id));
  const declared = (types: Log['eventTypes']) =>
    new Map(
      types.map(({ name, attributes }) => [name, new Map(attributes.map((one) => [one.name, one.type]))]),
    );
  for (const [types, things] of [
    [declared(eventTypes), events],
    [declared(objectTypes), objects],
  ] as const) {
    for (const { id, type: name, attributes, relationships } of things) {
      for (const { objectId, qualifier } of relationships) {
        if (!here.has(objectId)) faults.push(`${id} names ${objectId}, which is not there`);
        if (qualifier === '') faults.push(`${id} does not say what ${objectId} is to it`);
      }
      once(
        `a relationship of ${id}`,
        relationships.map((one) => `${one.qualifier} ${one.objectId}`),
      );
      for (const { name: told, value } of attributes) {
        const is = types.get(name)?.get(told);
        if (is === undefined) faults.push(`${id}: ${told} is not declared for ${name}`);
        if (is === 'boolean' && value !== 'true' && value !== 'false')
          faults.push(`${id}: ${value} is no boolean`);
      }
    }
  }
  const times = [...events, ...objects.flatMap(({ attributes }) => attributes)].map(({ time }) => time);
  faults.push(...times.filter((time) => !TIME.test(time)).map((time) => `${time} is no time`));
  return faults;
}

const logOfPair = (records: readonly LedgerRecord[]): PairLog => ({ pair: PAIR, placed: placed(records) });

describe('the check itself', () => {
  test('the schema refuses a value that is no text, though the standard’s web page shows one', () => {
    const event = { id: 'e', type: 't', time: '2026-11-02T08:00:00Z', attributes: [{ name: 'n', value: 5 }] };
    expect(fits({ eventTypes: [], objectTypes: [], events: [event], objects: [] })).toBe(false);
  });

  test('finds what is wrong', () => {
    const event = {
      id: 'e',
      type: 't',
      time: 'soon',
      attributes: [{ name: 'n', value: 'v' }],
      relationships: [{ objectId: 'nobody', qualifier: 'q' }],
    };
    expect(faultsIn({ eventTypes: [], objectTypes: [], events: [event, event], objects: [] })).toEqual(
      expect.arrayContaining([
        'event twice',
        'e names nobody, which is not there',
        'e: n is not declared for t',
        'soon is no time',
      ]),
    );
  });
});

describe('a pair’s way', () => {
  const hand = handAt(WELTING);
  const logged = hand.write('pair-logged');
  const begun = hand.write('clocked-in', { shoe: 'left' });
  const joined = hand.write('hand-joined', { of: begun.id });
  const ended = hand.write('clocked-out', { of: begun.id });
  const onLast = hand.write('last-taken', { last: '82 8 F' });

  test('the beginning and the end of a stage are told apart, and say on what, by whom and where', async () => {
    const log = await logOf([logOfPair([logged, begun, joined, ended])]);
    const event = log.events.find((one) => one.type === 'WLT begun');
    expect(event).toMatchObject({ id: `${begun.id} begun`, time: '2026-11-02T08:01:00.000Z' });
    expect(event?.relationships).toEqual([
      { objectId: `pair ${PAIR}`, qualifier: 'worked-on' },
      { objectId: `shoe ${PAIR} left`, qualifier: 'worked-on' },
      { objectId: `bench ${WELTING}`, qualifier: 'done-at' },
      { objectId: `hand ${called(INES)}`, qualifier: 'done-by' },
      { objectId: `hand ${called(TOMASZ)}`, qualifier: 'done-beside' },
    ]);
    expect(log.events.map((one) => one.type)).toEqual([
      'pair-logged',
      'WLT begun',
      'hand-joined',
      'WLT finished',
    ]);
    expect(log.events.find((one) => one.type === 'WLT finished')?.time).toBe('2026-11-02T08:03:00.000Z');
  });

  test('a pair has its shoes and its last, and its words with the times from which they hold', async () => {
    const amended = hand.write('pair-amended', {
      after: logged.id,
      changes: { promised: '2026-12-17', size: '9' },
    });
    const answered = hand.write('owner-answered', { job: 'RS', promised: '2027-01-08' });
    const log = await logOf([logOfPair([logged, onLast, amended, answered])]);
    const pair = log.objects.find(({ type: is }) => is === 'pair');
    expect(pair?.relationships).toEqual([
      { objectId: `shoe ${PAIR} left`, qualifier: 'has-left' },
      { objectId: `shoe ${PAIR} right`, qualifier: 'has-right' },
      { objectId: 'last 82 8 F', qualifier: 'on-last' },
    ]);
    const told = (name: string) =>
      pair?.attributes.filter((one) => one.name === name).map(({ value }) => value);
    expect(told('job')).toEqual(['FB', 'RS']);
    expect(told('promised')).toEqual(['2026-12-10', '2026-12-17', '2027-01-08']);
    expect(told('size')).toEqual(['8', '9']);
    expect(pair?.attributes.find(({ value }) => value === '2026-12-17')?.time).toBe(
      new Date(amended.at).toISOString(),
    );
    expect(log.objects.find(({ id }) => id === `bench ${WELTING}`)?.attributes).toEqual([
      { name: 'name', value: 'Welting', time: '1970-01-01T00:00:00.000Z' },
      { name: 'stages', value: 'WLT', time: '1970-01-01T00:00:00.000Z' },
    ]);
  });

  test('nothing in it tells who a hand or an owner is', async () => {
    const let_ = hand.write('let-through', { hand: RUTH });
    const text = JSON.stringify(await logOf([logOfPair([logged, begun, joined, ended, let_])]));
    for (const secret of [INES, TOMASZ, RUTH, 'Ines Okafor', logged.ownerRef])
      expect(text).not.toContain(secret);
  });

  test('what was taken back did not happen, and a time put right is the time', async () => {
    const wrong = hand.write('set-aside');
    const back = hand.write('voided', { of: wrong.id });
    const right = hand.write('time-given', { of: begun.id, from: begun.at - 30 * MINUTE_MS, to: null });
    const log = await logOf([logOfPair([logged, begun, ended, wrong, back, right])]);
    expect(log.events.map((one) => one.type)).toEqual(['pair-logged', 'WLT begun', 'WLT finished']);
    expect(log.events[1]?.time).toBe(new Date(begun.at - 30 * MINUTE_MS).toISOString());
  });

  test('work that nobody scanned has an end; its beginning once a supervisor has given both times', async () => {
    const late = hand.write('done-unscanned', { stage: LAY });
    const typesOf = async (...records: LedgerRecord[]) =>
      (await logOf([logOfPair(records)])).events.map((one) => one.type);
    expect(await typesOf(late)).toEqual(['LAY finished']);
    const given = hand.write('time-given', { of: late.id, from: late.at - MINUTE_MS, to: late.at });
    expect(await typesOf(late, given)).toEqual(['LAY begun', 'LAY finished']);
  });

  test('what happens at a bench without a pair is in it', async () => {
    const on = hand.write('badged-on');
    const stopped = hand.write('machine-stopped', { where: WELTING });
    const log = await logOf([], [on, stopped]);
    expect(faultsIn(log)).toEqual([]);
    expect(log.events.map((one) => one.type)).toEqual(['badged-on', 'machine-stopped']);
    expect(log.events[1]?.relationships).toContainEqual({
      objectId: `bench ${WELTING}`,
      qualifier: 'machine-at',
    });
  });

  test('hands called by name are in it by name where a desk asks for that', async () => {
    const named = exportView(siteBook(), calledByName(siteBook()));
    const log = await logOf([logOfPair([begun, ended])], [], named);
    expect(log.objects.map(({ id }) => id)).toContain('hand Ines Okafor');
  });
});

describe('whole logs', () => {
  test('the demo’s workshop: every record that stands is in it, once, and nothing is wrong', async () => {
    const workshop = makeWorkshop({
      seed: 7,
      endsAt: Date.parse('2026-11-25T10:17:00Z'),
      openPairs: 60,
      workingDays: 8,
    });
    const byPair = new Map<PairId, Placed[]>();
    const atBenches: LedgerRecord[] = [];
    for (const [index, record] of workshop.records.entries()) {
      const pair = pairOf(record);
      if (pair === null) atBenches.push(record);
      else byPair.set(pair, [...(byPair.get(pair) ?? []), { record, pos: index + 1, epoch: workshop.epoch }]);
    }
    const logs = [...byPair].map(([pair, records]): PairLog => ({ pair, placed: records }));
    const bench = standing(atBenches).filter(({ kind }) => kind !== 'voided');
    const log = await logOf(logs, bench, exportView(workshop.book, called));
    expect(faultsIn(log)).toEqual([]);
    expect(log.objects.filter(({ type: is }) => is === 'pair').length).toBe(byPair.size);
    expect(log.objects.filter(({ type: is }) => is === 'shoe').length).toBe(2 * byPair.size);
    expect(log.events.length).toBeGreaterThan(3000);
    // Counted another way: beginnings and ends from the folded spells.
    const spells = [...pairStates(workshop).values()].flatMap((state) => state.spells);
    const events = (what: RegExp) => log.events.filter((one) => what.test(one.type)).length;
    expect(events(/ (finished|put down)$/)).toBe(spells.filter(({ outcome }) => outcome !== 'open').length);
    expect(events(/ begun$/)).toBe(spells.filter(({ id, endedBy, timed }) => id !== endedBy || timed).length);
  });

  test('an honest history makes a good log', async () => {
    await fc.assert(
      fc.asyncProperty(honestHistories(4), async ({ made }) => {
        expect(faultsIn(await logOf([{ pair: PAIR, placed: made }]))).toEqual([]);
      }),
      { numRuns: 60 },
    );
  });

  test('so does any heap of records at all', async () => {
    await fc.assert(
      fc.asyncProperty(wildHeaps, async (heap) => {
        const log = { pair: PAIR, placed: heap };
        expect(faultsIn(await logOf([log]))).toEqual([]);
        // Every spell's end is told where it has one, and told once.
        const { state, happenings } = storyOf(log);
        const ends = happenings.filter(({ is }) => is === 'finished' || is === 'put-down');
        expect(ends.length).toBe(state.spells.filter(({ outcome }) => outcome !== 'open').length);
      }),
      { numRuns: 200 },
    );
  });

  test('no pairs make a log with none', async () => {
    expect(await logOf([])).toMatchObject({ events: [], objects: [], eventTypes: [] });
  });
});
