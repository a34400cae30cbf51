/**
 * An event log by XES (IEEE 1849), as XML: one trace a pair, with the extensions Concept, Lifecycle, Organizational and
 * Time. Work at a stage is named for the stage, and its beginning and end are transitions of the standard's lifecycle.
 * Version and order of the elements follow the standard's schema, which has the version as a decimal number.
 */
import { type Happening, type PairLog, type PairStory, storyOf } from './happenings.ts';
import { said } from './record-table.ts';
import { inUtc } from './times.ts';
import type { ExportView } from './view.ts';
import { attributeValue } from './xml.ts';

const EXTENSIONS = [
  ['Concept', 'concept'],
  ['Lifecycle', 'lifecycle'],
  ['Organizational', 'org'],
  ['Time', 'time'],
] as const;

/** Put down is not finished: the spell rests, and whoever goes on begins another. */
const TRANSITION = { begun: 'start', finished: 'complete', 'put-down': 'suspend', told: 'complete' } as const;

/** The file's text, in pieces. @param name of the log */
export async function* xesText(
  pairs: AsyncIterable<PairLog>,
  view: ExportView,
  name: string,
): AsyncIterable<string> {
  yield headText(name);
  for await (const log of pairs) yield traceText(storyOf(log), view);
  yield '</log>\n';
}

function headText(name: string): string {
  return [
    '<?xml version="1.0" encoding="UTF-8"?>',
    '<log xes.version="1849.2016" xes.features="" xmlns="http://www.xes-standard.org/">',
    ...EXTENSIONS.map(
      ([extension, prefix]) =>
        `<extension name="${extension}" prefix="${prefix}" uri="http://www.xes-standard.org/${prefix}.xesext"/>`,
    ),
    // What stands here every trace and every event has.
    `<global scope="trace">${string('concept:name', 'unknown')}</global>`,
    `<global scope="event">${string('concept:name', 'unknown')}${string('lifecycle:transition', 'complete')}${date('time:timestamp', 0)}</global>`,
    '<classifier name="Stage" scope="event" keys="concept:name"/>',
    '<classifier name="Step" scope="event" keys="concept:name lifecycle:transition"/>',
    string('concept:name', name),
    string('lifecycle:model', 'standard'),
    '',
  ].join('\n');
}

function traceText({ pair, state, happenings }: PairStory, view: ExportView): string {
  const { details, closedAt } = state;
  const told = [
    string('concept:name', pair),
    ...(details === null
      ? []
      : [string('job', details.job), string('promised', details.promised), string('style', details.style)]),
    ...(closedAt === null ? [] : [date('closed', closedAt)]),
  ];
  const events = happenings.map((happening) => `<event>${attributesOf(happening, view).join('')}</event>`);
  return `<trace>\n${[...told, ...events].join('\n')}\n</trace>\n`;
}

function attributesOf(happening: Happening, view: ExportView): readonly string[] {
  const { record, at } = happening;
  const spell = happening.is === 'told' ? null : happening.spell;
  const { by, bench } = spell ?? record;
  const stage = spell?.stage ?? said(record, 'stage');
  const shoe = spell?.shoe ?? said(record, 'shoe');
  const name =
    spell === null ? record.kind.replaceAll('-', ' ') : (view.stageName(spell.stage) ?? spell.stage);
  return [
    string('concept:name', name),
    ...(spell === null ? [] : [string('concept:instance', spell.id)]),
    string('lifecycle:transition', TRANSITION[happening.is]),
    date('time:timestamp', at),
    ...(by === null ? [] : [string('org:resource', view.handCalled(by))]),
    ...(spell === null || spell.joined.length === 0
      ? []
      : [string('joined', spell.joined.map(({ hand }) => view.handCalled(hand)).join(' '))]),
    string('bench', view.benchName(bench) ?? bench),
    ...(stage === null ? [] : [string('stage', stage)]),
    ...(shoe === null ? [] : [string('shoe', shoe)]),
    ...(spell === null ? [] : [boolean('time-known', spell.timed || happening.is === 'begun')]),
    string('record', record.id),
  ];
}

function string(key: string, value: string): string {
  return `<string key="${key}" value="${attributeValue(value)}"/>`;
}

function date(key: string, at: number): string {
  return `<date key="${key}" value="${inUtc(at)}"/>`;
}

function boolean(key: string, is: boolean): string {
  return `<boolean key="${key}" value="${is}"/>`;
}
