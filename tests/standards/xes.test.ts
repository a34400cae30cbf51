/**
 * Logs against XES (IEEE 1849): log, traces and events with the keys of the standard extensions, in the order of elements
 * that the standard's schema has. The XML is read by fast-xml-parser and, where Debian's libxml2-utils is installed, by
 * xmllint: neither is ours. Not held against the XSD itself, which is not free to be carried in here.
 */
import { spawnSync } from 'node:child_process';
import fc from 'fast-check';
import { XMLParser, XMLValidator } from 'fast-xml-parser';
import { describe, expect, test } from 'vitest';
import type { PairLog } from '../../src/domain/export/happenings.ts';
import { exportView } from '../../src/domain/export/view.ts';
import { xesText } from '../../src/domain/export/xes.ts';
import { attributeValue } from '../../src/domain/export/xml.ts';
import { asPairId, type OperativeId } from '../../src/domain/ids.ts';
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import { handAt, INES, PAIR, placed, siteBook, TOMASZ, WELTING } from '../support/builders.ts';
import { honestHistories, wildHeaps } from '../support/histories.ts';
import '../support/property-seed.ts';

const called = (hand: OperativeId) => `called-${hand.length}-${hand.at(-1)}`;
const view = exportView(siteBook(), called);

async function textOf(logs: readonly PairLog[], name = 'Aldermoor Bench', by = view): Promise<string> {
  const pairs = async function* () {
    yield* logs;
  };
  let text = '';
  for await (const piece of xesText(pairs(), by, name)) text += piece;
  return text;
}

/** An element as it stands: its name, what is written on it, and the elements in it, in their order. */
interface Element {
  readonly name: string;
  readonly told: Readonly<Record<string, string>>;
  readonly in: readonly Element[];
}

const parser = new XMLParser({
  preserveOrder: true,
  ignoreAttributes: false,
  attributeNamePrefix: '',
  parseAttributeValue: false,
  // Numeric references too: without this they stay as they are written.
  htmlEntities: true,
  trimValues: false,
});

function parsed(text: string): Element {
  expect(XMLValidator.validate(text)).toBe(true);
  const log = elementsIn(parser.parse(text)).find(({ name }) => name === 'log');
  if (log === undefined) throw new Error('there is no log');
  return log;
}

function elementsIn(nodes: unknown): readonly Element[] {
  return (nodes as Record<string, unknown>[]).flatMap((node) =>
    Object.entries(node)
      .filter(([name]) => name !== ':@' && name !== '#text' && name !== '?xml')
      .map(([name, inside]) => ({
        name,
        told: (node[':@'] ?? {}) as Record<string, string>,
        in: elementsIn(inside),
      })),
  );
}

const named = (element: Element, name: string) => element.in.filter((one) => one.name === name);
/** An attribute in the sense of XES. */
const valueAt = (element: Element, key: string) =>
  element.in.find(({ told }) => told.key === key)?.told.value;

const ATTRIBUTES = ['string', 'date', 'int', 'float', 'boolean', 'id', 'list'];
/** IEEE 1849: in a log stand extensions, globals, classifiers, attributes, traces, in this order. */
const PARTS = [['extension'], ['global'], ['classifier'], ATTRIBUTES, ['trace'], ['event']];
/** `Name` of XML 1.0, as far as we use it. */
const KEY = /^[A-Za-z_:][A-Za-z0-9_:.-]*$/;
const DATE = /^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z$/;
const VALUES: Readonly<Record<string, RegExp>> = { string: /^/, date: DATE, boolean: /^(true|false)$/ };
/** The standard's lifecycle, from memory. */
const TRANSITIONS = ['start', 'complete', 'suspend', 'resume'];

/** What the standard asks for and this log does not do; none in a good log. */
function faultsIn(log: Element): readonly string[] {
  const faults: string[] = [];
  const partOf = (name: string) => PARTS.findIndex((part) => part.includes(name));
  const inOrder = (element: Element, what: string) => {
    const parts = element.in.map(({ name }) => partOf(name));
    if (parts.some((part, index) => part < 0 || part < (parts[index - 1] ?? 0)))
      faults.push(`${what}: out of order`);
  };
  const attributes = (element: Element, what: string) => {
    const own = element.in.filter(({ name }) => ATTRIBUTES.includes(name));
    const keys = own.map(({ told }) => told.key ?? '');
    if (new Set(keys).size !== keys.length) faults.push(`${what}: a key twice`);
    for (const { name, told } of own) {
      if (!KEY.test(told.key ?? '')) faults.push(`${what}: ${told.key} is no key`);
      if (VALUES[name]?.test(told.value ?? '') !== true) faults.push(`${what}: ${told.value} is no ${name}`);
      const [prefix] = (told.key ?? '').split(':', 1);
      if (told.key?.includes(':') && !prefixes.has(prefix))
        faults.push(`${what}: ${told.key} has no extension`);
    }
  };
  const prefixes = new Set(named(log, 'extension').map(({ told }) => told.prefix));
  // A decimal number in the standard's schema.
  if (!/^\d+(\.\d+)?$/.test(log.told['xes.version'] ?? '')) faults.push('log: no version');
  if (log.told['xes.features'] === undefined) faults.push('log: no features');
  inOrder(log, 'log');
  attributes(log, 'log');
  const globals = (scope: string) =>
    named(log, 'global')
      .filter(({ told }) => told.scope === scope)
      .flatMap((one) => one.in.map(({ told }) => told.key ?? ''));
  for (const { told } of named(log, 'classifier')) {
    for (const key of (told.keys ?? '').split(' '))
      if (!globals('event').includes(key)) faults.push(`classifier ${told.name}: ${key} is not global`);
  }
  for (const trace of named(log, 'trace')) {
    inOrder(trace, 'trace');
    attributes(trace, 'trace');
    for (const key of globals('trace'))
      if (valueAt(trace, key) === undefined) faults.push(`trace: no ${key}`);
    for (const event of named(trace, 'event')) {
      attributes(event, 'event');
      for (const key of globals('event'))
        if (valueAt(event, key) === undefined) faults.push(`event: no ${key}`);
      if (!TRANSITIONS.includes(valueAt(event, 'lifecycle:transition') ?? ''))
        faults.push('event: no transition');
    }
  }
  return faults;
}

const logOfPair = (records: readonly LedgerRecord[]): PairLog => ({ pair: PAIR, placed: placed(records) });

describe('a log', () => {
  const hand = handAt(WELTING);
  const logged = hand.write('pair-logged');
  const begun = hand.write('clocked-in');
  const joined = hand.write('hand-joined', { of: begun.id });
  const down = hand.write('clocked-out', { of: begun.id, outcome: 'not-finished' });
  const again = hand.write('clocked-in');
  const ended = hand.write('clocked-out', { of: again.id });

  test('names its extensions with the addresses that the standard gives them', async () => {
    const log = parsed(await textOf([]));
    expect(log.told).toMatchObject({ 'xes.version': '1849.2016', xmlns: 'http://www.xes-standard.org/' });
    expect(named(log, 'extension').map(({ told }) => told)).toEqual([
      { name: 'Concept', prefix: 'concept', uri: 'http://www.xes-standard.org/concept.xesext' },
      { name: 'Lifecycle', prefix: 'lifecycle', uri: 'http://www.xes-standard.org/lifecycle.xesext' },
      { name: 'Organizational', prefix: 'org', uri: 'http://www.xes-standard.org/org.xesext' },
      { name: 'Time', prefix: 'time', uri: 'http://www.xes-standard.org/time.xesext' },
    ]);
    expect(valueAt(log, 'concept:name')).toBe('Aldermoor Bench');
    expect(faultsIn(log)).toEqual([]);
  });

  test('has a trace for each pair, and in it who did what, where and when', async () => {
    const log = parsed(await textOf([logOfPair([logged, begun, joined, down, again, ended])]));
    expect(faultsIn(log)).toEqual([]);
    const [trace, ...others] = named(log, 'trace');
    if (trace === undefined) throw new Error('there is no trace');
    expect(others).toEqual([]);
    expect([valueAt(trace, 'concept:name'), valueAt(trace, 'job')]).toEqual([PAIR, 'FB']);
    const events = named(trace, 'event');
    expect(
      events.map((event) => [valueAt(event, 'concept:name'), valueAt(event, 'lifecycle:transition')]),
    ).toEqual([
      ['pair logged', 'complete'],
      ['Welt sewing', 'start'],
      ['hand joined', 'complete'],
      ['Welt sewing', 'suspend'],
      ['Welt sewing', 'start'],
      ['Welt sewing', 'complete'],
    ]);
    const [, first] = events;
    if (first === undefined) throw new Error('there is no event');
    expect(valueAt(first, 'time:timestamp')).toBe(new Date(begun.at).toISOString());
    expect(valueAt(first, 'org:resource')).toBe(called(INES));
    expect(valueAt(first, 'joined')).toBe(called(TOMASZ));
    expect(valueAt(first, 'concept:instance')).toBe(begun.id);
    expect([valueAt(first, 'bench'), valueAt(first, 'stage'), valueAt(first, 'shoe')]).toEqual([
      'Welting',
      'WLT',
      'both',
    ]);
  });

  test('has nobody’s id in it', async () => {
    const text = await textOf([logOfPair([logged, begun, joined, ended])]);
    for (const secret of [INES, TOMASZ, logged.ownerRef]) expect(text).not.toContain(secret);
  });
});

describe('characters', () => {
  /** XML 1.0, fifth edition, production 2, number by number. */
  const isChar = (code: number) =>
    code === 9 ||
    code === 10 ||
    code === 13 ||
    (code >= 0x20 && code <= 0xd7ff) ||
    (code >= 0xe000 && code <= 0xfffd) ||
    code >= 0x10000;

  test.each([
    ['a & b', 'a &amp; b'],
    ['<img onerror="x">', '&lt;img onerror=&quot;x&quot;&gt;'],
    [']]>', ']]&gt;'],
    ['one\ttwo\nthree\rfour', 'one&#9;two&#10;three&#13;four'],
    ['\0\u0001\u001f\ufffe\uffff', '\ufffd'.repeat(5)],
    ['half \ud800 pair', 'half \ufffd pair'],
    ['😀 8½ é', '😀 8½ é'],
  ])('%j stands as %s', (text, stands) => {
    expect(attributeValue(text)).toBe(stands);
  });

  test('any text is well formed, and comes back as far as XML can hold it', async () => {
    const anyText = fc.oneof(
      fc.string({ unit: 'binary' }),
      fc.string({ unit: fc.integer({ min: 0, max: 0xffff }).map((code) => String.fromCharCode(code)) }),
    );
    await fc.assert(
      fc.asyncProperty(anyText, async (name) => {
        const log = parsed(await textOf([], name));
        const holds = [...name]
          .map((letter) => (isChar(letter.codePointAt(0) ?? 0) ? letter : '\ufffd'))
          .join('');
        expect(valueAt(log, 'concept:name')).toBe(holds);
      }),
      { numRuns: 100 },
    );
  });
});

describe('whole logs', () => {
  test('an honest history makes a good log', async () => {
    await fc.assert(
      fc.asyncProperty(honestHistories(4), async ({ made }) => {
        expect(faultsIn(parsed(await textOf([{ pair: PAIR, placed: made }])))).toEqual([]);
      }),
      { numRuns: 40 },
    );
  });

  test('so does any heap of records at all', async () => {
    await fc.assert(
      fc.asyncProperty(wildHeaps, async (heap) => {
        expect(faultsIn(parsed(await textOf([{ pair: PAIR, placed: heap }])))).toEqual([]);
      }),
      { numRuns: 100 },
    );
  });
});

/** Whether libxml2 reads it: 0 when it is well formed. */
const xmllint = (text: string) => spawnSync('xmllint', ['--noout', '-'], { input: text, encoding: 'utf8' });
const hasXmllint = xmllint('<log/>').error === undefined;

describe.skipIf(!hasXmllint)('xmllint', () => {
  test('refuses what is not well formed', () => {
    expect(xmllint('<log><trace></log>').status).not.toBe(0);
  });

  test('reads a log of hostile texts', async () => {
    const hostile = '\0<&>"\']]>\u0007\ufffe\ud800\n\t😀';
    const book = siteBook();
    const stages = book.stages.map((stage) => ({ ...stage, name: hostile }));
    const by = exportView({ ...book, stages }, () => hostile);
    const hand = handAt(WELTING);
    const begun = hand.write('clocked-in');
    const records = [
      hand.write('pair-logged', { style: hostile }),
      begun,
      hand.write('clocked-out', { of: begun.id }),
    ];
    const logs = [logOfPair(records), { pair: asPairId(hostile), placed: placed(records) }];
    const { status, stderr } = xmllint(await textOf(logs, hostile, by));
    expect([status, stderr]).toEqual([0, '']);
  });
});
