/** What each record of a pair says, in one line of its account. */
import type { OperativeId, StageCode } from '../domain/ids.ts';
import type { LedgerRecord, RecordOf, Shoe } from '../domain/record/kinds.ts';
import type { SiteBook } from '../domain/site-book.ts';
import { nameOf } from '../domain/site-book.ts';
import { lookedIntoNames } from './doubt-names.ts';
import { calendarDay, clockTime, dayOf } from './format.ts';
import { jobNames, shoeNames, weightNames } from './names.ts';

export const stageShown = (book: SiteBook, stage: StageCode): string =>
  book.stages.find(({ code }) => code === stage)?.name ?? stage;

export const handShown = (book: SiteBook, operative: OperativeId | null): string =>
  operative === null ? 'nobody badged on' : (nameOf(book, operative) ?? 'a hand no longer in the book');

export const rackShown = (book: SiteBook, rack: string): string =>
  book.racks.find((one) => one.rack === rack)?.name ?? `rack ${rack}`;

/** ` (left)`, and nothing for both shoes. */
export const onShoe = (shoe: Shoe): string => (shoe === 'both' ? '' : ` (${shoeNames[shoe]})`);

const because = (why: string | null): string => (why === null ? '' : `: ${why}`);

/** `Clocked in at Welt sewing`; who, where and when stand beside it. */
export function recordLine(record: LedgerRecord, book: SiteBook): string {
  const at = (stage: StageCode) => stageShown(book, stage);
  switch (record.kind) {
    case 'pair-logged':
      return `Logged: ${jobNames[record.job]}, ${record.style}, last ${record.last}, size ${record.size} ${record.fitting}, promised ${calendarDay(record.promised)}`;
    case 'pair-amended':
      return `Put right: ${changesShown(record.changes)}${because(record.why)}`;
    case 'owner-asked':
      return `The owner is asked${because(record.why)}`;
    case 'owner-answered':
      return `The owner says: ${answerNames[record.answer]}${because(record.words)}. ${jobNames[record.job]}, promised ${calendarDay(record.promised)}`;
    case 'pictured':
      return record.note === null ? 'Photographed' : 'Photographed, to a note';
    case 'ticket-reprinted':
      return `Second ticket printed${because(record.why)}`;
    case 'handed-back':
      return `Given back to the owner, in parts${because(record.why)}`;
    case 'clocked-in':
      return `Clocked in at ${at(record.stage)}${onShoe(record.shoe)}${record.unknownPair ? ', ticket not known there' : ''}`;
    case 'clocked-out':
      return clockedOutLine(record, at(record.stage));
    case 'hand-joined':
      return `${handShown(book, record.hand)} ${record.as === 'beside' ? 'works beside' : 'answers for the work'}`;
    case 'done-unscanned':
      return `${at(record.stage)}${onShoe(record.shoe)} done, not scanned${because(record.why)}`;
    case 'set-aside':
      return `Set aside at ${at(record.stage)}${because(record.reason)}`;
    case 'taken-up':
      return 'Taken up again';
    case 'sent-back':
      return `Sent back from ${at(record.from)} to ${at(record.to)}${onShoe(record.shoe)}${because(record.reason)}`;
    case 'parted':
      return `Parted: the ${shoeNames[record.shoe]} shoe goes alone${because(record.why)}`;
    case 'rejoined':
      return 'Left and right together again';
    case 'found-here':
      return 'Seen here, without work';
    case 'racked':
      return `Put on ${rackShown(book, record.rack)}`;
    case 'unracked':
      return `Taken off ${rackShown(book, record.rack)}`;
    case 'last-taken':
      return `Put on last ${record.last}`;
    case 'last-freed':
      return `Off last ${record.last}`;
    case 'checked':
      return checkedLine(record);
    case 'boxed':
      return boxedLine(record);
    case 'noted':
      return `Note, ${weightNames[record.weight].toLowerCase()}${onShoe(record.shoe)}: ${record.text}`;
    case 'note-seen':
      return `Note seen at ${at(record.stage)}`;
    case 'note-cured':
      return `Note cured at ${at(record.stage)}`;
    case 'note-released':
      return `Stop note released${because(record.why)}`;
    case 'let-through':
      return `Let through at ${at(record.stage)}${because(record.why)}`;
    case 'not-needed':
      return `${at(record.stage)} is not needed${because(record.why)}`;
    case 'stage-asked':
      return `Asked for: ${record.stages.map(at).join(', ')}${because(record.why)}`;
    case 'voided':
      return `Took a record back${because(record.why)}`;
    case 'time-given':
      return givenLine(record, book.timeZone);
    case 'looked-into':
      return `Looked into, and stands: ${lookedIntoNames[record.what]}${because(record.why)}`;
    case 'bench-set':
    case 'badged-on':
    case 'badged-off':
    case 'reminders-shown':
    case 'machine-stopped':
    case 'machine-back':
      return record.kind.replaceAll('-', ' ');
    default:
      return record satisfies never;
  }
}

export const answerNames = {
  'go-on': 'go on',
  'go-on-cheaper': 'go on, but cheaper',
  stop: 'stop, and return in parts',
} as const;

export const detailNames = {
  job: 'kind of job',
  ownerRef: 'owner’s reference',
  style: 'style',
  last: 'last',
  size: 'size',
  fitting: 'fitting',
  promised: 'promised',
  maker: 'maker’s mark',
  asked: 'asked for',
} as const;

/** `size 9, promised Thu 10 Dec` */
export function changesShown(changes: RecordOf<'pair-amended'>['changes']): string {
  const keys = Object.keys(detailNames) as (keyof typeof detailNames)[];
  const said = keys.flatMap((key) => {
    const value = changes[key];
    if (value === undefined) return [];
    return [`${detailNames[key]} ${detailShown(key, value)}`];
  });
  return said.length === 0 ? 'nothing' : said.join(', ');
}

export function detailShown(key: keyof typeof detailNames, value: string | null): string {
  if (value === null) return 'none';
  if (key === 'promised') return calendarDay(value);
  return key === 'job' && value in jobNames ? jobNames[value as keyof typeof jobNames] : value;
}

function clockedOutLine({ outcome, closes, timed }: RecordOf<'clocked-out'>, stage: string): string {
  const how = outcome === 'done' ? `${stage} finished` : `${stage} put down, not finished`;
  return `${how}${closes ? ', out of the works' : ''}${timed ? '' : ', said later'}`;
}

function givenLine({ from, to, outcome, why }: RecordOf<'time-given'>, zone: string): string {
  const at = (instant: number) => `${dayOf(instant, zone)}, ${clockTime(instant, zone)}`;
  const given = [
    ...(from === null ? [] : [`began ${at(from)}`]),
    ...(to === null ? [] : [`ended ${at(to)}`]),
    ...(outcome === null ? [] : [outcome === 'done' ? 'finished' : 'put down, not finished']),
    ...(to === null && outcome !== null ? ['nobody knows when'] : []),
  ];
  return `Time put right: ${given.length === 0 ? 'nothing' : given.join(', ')}${because(why)}`;
}

function checkedLine({ probe, board, openNotes, unrecorded, why }: RecordOf<'checked'>): string {
  const open = [
    ...(probe ? [] : ['nail points not felt for']),
    ...(board ? [] : ['not compared on the board']),
    ...(openNotes.length > 0 ? [`${openNotes.length} notes open`] : []),
    ...(unrecorded.length > 0 ? [`${unrecorded.length} stages without a record`] : []),
  ];
  return `Passed the final check${open.length === 0 ? '' : `, ${open.join(', ')}`}${because(why)}`;
}

function boxedLine({ things, tag, why }: RecordOf<'boxed'>): string {
  const missing = things.filter(({ back }) => !back).map(({ thing }) => thing);
  const not = missing.length === 0 ? '' : `, not back: ${missing.join(', ')}`;
  return `Boxed, second shoe ${tag === 'scanned' ? 'scanned' : 'read by eye'}${not}${because(why)}`;
}
