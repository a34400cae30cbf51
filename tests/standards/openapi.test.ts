/**
 * The description of the read interface against OpenAPI 3.1 (checked by @seriousme/openapi-schema-validator), and the
 * interface against its description: no route is left out, each one answers, and what it answers is what is described
 * (JSON Schema 2020-12, checked by ajv).
 */
import { Validator } from '@seriousme/openapi-schema-validator';
import { Ajv2020 } from 'ajv/dist/2020.js';
import addFormats from 'ajv-formats';
import { Hono } from 'hono';
import Papa from 'papaparse';
import { describe, expect, test } from 'vitest';
import type { ShiftSheet } from '../../src/domain/figures/sheet.ts';
import { HOUR_MS, MINUTE_MS } from '../../src/domain/instant.ts';
import type { AppEnv } from '../../src/server/parts.ts';
import type { SheetFound } from '../../src/server/read/sheets.ts';
import { readInterface } from '../../src/server/routes/read.ts';
import * as wire from '../../src/wire/read.ts';
import { FULL, handAt, MONDAY_8, PAIR, SITE, WLT } from '../support/builders.ts';
import { type TestServer, testServer } from '../support/server.ts';
import { RECORD_SAMPLES } from '../unit/record-samples.ts';

type Json = Record<string, unknown>;
interface Description extends Json {
  readonly paths: Record<string, { readonly get: Operation }>;
  readonly components: { readonly schemas: Record<string, Json> };
}
interface Operation {
  readonly parameters: readonly { readonly name: string; readonly in: string; readonly required: boolean }[];
  readonly responses: Record<
    string,
    { readonly content?: Record<string, { readonly schema?: { readonly $ref: string } }> }
  >;
}

/** What a path's parts and a query's words are in these tests. */
const TOLD: Readonly<Record<string, string>> = { pair: PAIR, from: '2026-11-02', to: '2026-11-02' };
const SHIFT_FROM = '2026-11-02T07:00:00.000Z';

/** A site with a calendar, and every kind of record that was ever written, as far as one bench may write it. */
async function house() {
  const server = await testServer({ book: FULL });
  await server.ledger.setCalendar(SITE, {
    versions: [
      {
        since: null,
        rules: [{ name: 'Day', days: [1, 2, 3, 4, 5], from: '07:00', to: '15:30', breaks: [] }],
      },
    ],
    shut: [],
    overtime: [],
  });
  server.now = MONDAY_8 + 4 * HOUR_MS;
  const [bench, desk] = [await server.enrol('bench'), await server.enrol('desk')];
  const hand = handAt(bench.bench);
  const begun = hand.write('clocked-in');
  const note = hand.write('noted');
  await bench.push([
    hand.write('pair-logged'),
    note,
    begun,
    hand.write('hand-joined', { of: begun.id }),
    hand.write('clocked-out', { of: begun.id }),
    hand.write('note-cured', { note: note.id }),
    hand.write('set-aside'),
    hand.write('owner-asked'),
    hand.write('sent-back', { to: WLT }),
  ]);
  const samples = RECORD_SAMPLES.map((sample, index) => ({
    ...sample,
    bench: bench.bench,
    seq: 1000 + index,
  }));
  for (let from = 0; from < samples.length; from += 100)
    expect((await bench.push(samples.slice(from, from + 100))).status).toBe(200);
  const description = (await (await desk.get('/api/read/v1/openapi.json')).json()) as Description;
  return { server, desk, description };
}

const member = { pair: PAIR, share: 0.5, records: [], ms: null };
const spread = { median: 90_000, ninth: null, members: [member] };

function aSheet(): ShiftSheet {
  const shift = {
    name: 'Day',
    day: '2026-11-02',
    from: MONDAY_8,
    to: MONDAY_8 + HOUR_MS,
    breaks: [],
    overtime: false,
  };
  return {
    shift,
    at: shift.to,
    stages: [
      {
        stage: WLT,
        in: [member],
        out: [member, member],
        sentBackFrom: [],
        sentBackTo: [member],
        firstPass: [member],
        touch: spread,
        wait: spread,
        waiting: [member],
        oldest: { pair: PAIR, since: MONDAY_8 },
        working: [],
        endUnknown: [],
        worked: [],
        on: [],
        utilisation: 0.5,
        workEach: null,
      },
    ],
    hands: [],
    pairs: [],
    line: {
      inWork: [member],
      boxed: [],
      handedBack: [],
      little: { from: MONDAY_8, to: shift.to, inWork: 1.5, perDay: 2, leadDays: null, closes: null },
      rolledYield: 0.5,
      holdsBack: { stage: WLT, waiting: 1, oldest: MONDAY_8, queueMs: 30 * MINUTE_MS, utilisation: null },
    },
    amended: [],
  };
}

const partsOf = (server: TestServer) => ({ ...server, clock: () => server.now });

/** The interface alone, with a sheet of the test's own. */
async function withSheet(found: SheetFound) {
  const server = await testServer({ book: FULL });
  const { key } = await server.enrol('desk');
  const app = new Hono<AppEnv>().route(
    '/',
    readInterface(partsOf(server), async () => found),
  );
  const get = (path: string) =>
    app.request(`/api/read/v1${path}`, { headers: { authorization: `Bearer ${key}` } });
  return { get, description: (await (await get('/openapi.json')).json()) as Description };
}

const ajv = () => {
  const made = new Ajv2020({ strict: true, allErrors: true });
  addFormats.default(made);
  return made;
};

/** Holds an answer against the schema of that name in the description. */
function fits({ components }: Description, name: string, answer: unknown): void {
  const compiled = ajv().compile(components.schemas[name] ?? false);
  expect(compiled(answer), JSON.stringify(compiled.errors?.slice(0, 3))).toBe(true);
}

/** The schema that the description names for a status; null for a file. */
const schemaAt = ({ responses }: Operation, status: number) =>
  responses[status]?.content?.['application/json']?.schema?.$ref.replace('#/components/schemas/', '') ?? null;

describe('the description', () => {
  test('is OpenAPI 3.1', async () => {
    const { description } = await house();
    const validator = new Validator();
    const { valid, errors } = await validator.validate(structuredClone(description));
    expect(errors ?? []).toEqual([]);
    expect([valid, validator.version]).toEqual([true, '3.1']);
  });

  test('the check refuses what is none', async () => {
    const { description } = await house();
    const broken = structuredClone(description) as Json;
    delete broken.info;
    expect((await new Validator().validate(broken)).valid).toBe(false);
  });

  test('has every route of the read interface, and no other', async () => {
    const { server, description } = await house();
    const routes = new Set(
      server.app.routes
        .filter(({ method, path }) => path.startsWith('/api/read/') && method !== 'ALL')
        .map(({ method, path }) => `${method} ${path.replaceAll(/:(\w+)/g, '{$1}')}`),
    );
    const described = Object.keys(description.paths).map((path) => `GET /api/read/v1${path}`);
    expect(described.toSorted()).toEqual([...routes].toSorted());
    expect(described.length).toBeGreaterThanOrEqual(10);
  });

  test('names every word of every query, and which of them must be said', async () => {
    const { desk, description } = await house();
    const { parameters } = description.paths['/exports/records.csv']?.get ?? { parameters: [] };
    expect(parameters.map(({ name, required }) => [name, required])).toEqual([
      ['from', true],
      ['to', true],
      ['hands', false],
    ]);
    for (const [path, { get }] of Object.entries(description.paths)) {
      const must = get.parameters.filter((one) => one.in === 'query' && one.required);
      if (must.length === 0) continue;
      // Left out, it is refused: the description says no more than is so.
      expect((await desk.get(`/api/read/v1${path}`)).status).toBe(400);
    }
  });

  test('has no routes for sheets where there are none', async () => {
    const server = await testServer();
    const { key } = await server.enrol('desk');
    const app = new Hono<AppEnv>().route('/', readInterface(partsOf(server), null));
    const headers = { authorization: `Bearer ${key}` };
    const bare = (await (await app.request('/api/read/v1/openapi.json', { headers })).json()) as Description;
    expect(Object.keys(bare.paths).filter((path) => path.includes('sheet'))).toEqual([]);
    expect((await app.request(`/api/read/v1/shifts/${SHIFT_FROM}/sheet`, { headers })).status).toBe(404);
  });
});

describe('the interface', () => {
  test('answers on every route that is described, with what is described', async () => {
    const { desk, description } = await house();
    for (const [path, { get }] of Object.entries(description.paths)) {
      const part = (name: string) => (path.startsWith('/shifts/') ? SHIFT_FROM : (TOLD[name] ?? ''));
      const filled = path.replaceAll(/\{(\w+)\}/g, (_, name: string) => part(name));
      const words = get.parameters.filter((one) => one.in === 'query' && one.required);
      const query = words.map(({ name }) => `${name}=${TOLD[name]}`).join('&');
      const answer = await desk.get(`/api/read/v1${filled}?${query}`);
      expect([path, answer.status]).toEqual([path, 200]);
      const schema = schemaAt(get, answer.status);
      const type = answer.headers.get('content-type')?.split(';', 1)[0] ?? '';
      expect([path, Object.keys(get.responses[200]?.content ?? {})]).toEqual([path, [type]]);
      if (schema === null) expect((await answer.text()).length).toBeGreaterThan(100);
      else fits(description, schema, await answer.json());
    }
  });

  test.each([
    ['/records?limit=1000', wire.readRecordsAnswerSchema],
    [`/pairs/${PAIR}`, wire.readPairAnswerSchema],
    ['/shifts?from=2026-11-01&to=2026-11-08', wire.readShiftsAnswerSchema],
    [`/shifts/${SHIFT_FROM}/sheet`, wire.readSheetAnswerSchema],
  ])('%s says nothing that is not described', async (path, schema) => {
    const { desk } = await house();
    const answer: unknown = await (await desk.get(`/api/read/v1${path}`)).json();
    // The schema drops what it does not know.
    expect(answer).toEqual(schema.parse(answer));
  });

  test.each([
    ['/records?limit=0', 400],
    ['/pairs/P0000000', 404],
    ['/shifts/2026-11-02T07:00:01.000Z/sheet', 404],
    ['/shifts/now/sheet', 400],
    ['/shifts/2026-11-02/sheet.csv', 400],
  ])('%s is refused as described', async (path, status) => {
    const { desk, description } = await house();
    const answer = await desk.get(`/api/read/v1${path}`);
    expect(answer.status).toBe(status);
    fits(description, 'Refusal', await answer.json());
  });
});

describe('a sheet', () => {
  test('is told in numbers, each with the pairs that it counts', async () => {
    const { get, description } = await withSheet({ is: 'sheet', sheet: aSheet() });
    const answer = (await (await get(`/shifts/${SHIFT_FROM}/sheet`)).json()) as wire.ReadSheetAnswer;
    fits(description, 'Sheet', answer);
    expect(answer).toEqual(wire.readSheetAnswerSchema.parse(answer));
    expect(answer.stages[0]).toMatchObject({
      stage: 'WLT',
      stageName: 'Welt sewing',
      out: {
        pairs: 1,
        of: [
          { pair: PAIR, share: 0.5 },
          { pair: PAIR, share: 0.5 },
        ],
      },
      firstPassYield: 0.5,
      touch: { medianMinutes: 1.5, ninthDecileMinutes: null, count: 1 },
      oldest: { pair: PAIR, since: '2026-11-02T08:00:00.000Z' },
    });
    expect(answer.line.holdsBack).toMatchObject({ queueMinutes: 30 });
  });

  test('is a table of its stages too', async () => {
    const { get } = await withSheet({ is: 'sheet', sheet: aSheet() });
    const answer = await get(`/shifts/${SHIFT_FROM}/sheet.csv`);
    expect(answer.headers.get('content-disposition')).toBe(
      'attachment; filename="aldermoor-sheet-2026-11-02.csv"',
    );
    const { data, errors } = Papa.parse<Record<string, string>>(await answer.text(), {
      header: true,
      skipEmptyLines: true,
    });
    expect(errors).toEqual([]);
    expect(data).toMatchObject([{ Stage: 'WLT', 'Stage name': 'Welt sewing', 'Pairs out': '1' }]);
  });

  test('that is being prepared says how far it is', async () => {
    const { get, description } = await withSheet({ is: 'preparing', done: 3, of: 10 });
    for (const path of ['sheet', 'sheet.csv']) {
      const answer = await get(`/shifts/${SHIFT_FROM}/${path}`);
      expect(answer.status).toBe(202);
      fits(description, 'Preparing', await answer.json());
    }
  });
});
