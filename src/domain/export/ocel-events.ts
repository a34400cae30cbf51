/**
 * The events of an OCEL 2.0 log. The beginning and the end of work at a stage are events of different types, named for the
 * stage: «WLT begun», «WLT finished», «WLT put down». Everything else is named for its kind of record.
 */
import type { BenchId, OperativeId } from '../ids.ts';
import { type LedgerRecord, pairOf, type Shoe, SIDES } from '../record/kinds.ts';
import type { Happening } from './happenings.ts';
import { type OcelRelationship, objectId, type SharedThing } from './ocel-objects.ts';
import { said } from './record-table.ts';
import { inUtc } from './times.ts';
import type { ExportView } from './view.ts';

/** Every value is a text in the file (OCEL 2.0, section 8.2); its type is told once, for all events of a type. */
export interface OcelAttribute {
  readonly name: string;
  readonly type: 'string' | 'boolean';
  readonly value: string;
}

export interface OcelEvent {
  readonly id: string;
  readonly type: string;
  readonly time: string;
  readonly attributes: readonly OcelAttribute[];
  readonly relationships: readonly OcelRelationship[];
  /** Things that it names besides its pair and its shoes. */
  readonly things: readonly SharedThing[];
}

const PUT: Readonly<Record<'begun' | 'finished' | 'put-down', string>> = {
  begun: 'begun',
  finished: 'finished',
  'put-down': 'put down',
};

export function eventOf(happening: Happening, view: ExportView): OcelEvent {
  return happening.is === 'told' ? eventOfRecord(happening.record, view) : eventOfWork(happening, view);
}

function eventOfWork(
  { is, at, record, spell }: Exclude<Happening, { readonly is: 'told' }>,
  view: ExportView,
): OcelEvent {
  const { id, stage, shoe, bench, by, joined, timed } = spell;
  const naming = new Naming(view);
  naming.pair(pairOf(record), 'worked-on', shoe);
  naming.bench(bench, 'done-at');
  if (by !== null) naming.hand(by, 'done-by');
  for (const { hand, as } of joined) naming.hand(hand, as === 'beside' ? 'done-beside' : 'answered-for-by');
  return {
    id: `${id} ${is === 'begun' ? 'begun' : 'ended'}`,
    type: `${stage} ${PUT[is]}`,
    time: inUtc(at),
    attributes: [
      text('spell', id),
      text('record', record.id),
      text('stage', stage),
      text('shoe', shoe),
      // A beginning is known in any case, unless nobody scanned.
      { name: 'time-known', type: 'boolean', value: String(timed || is === 'begun') },
    ],
    ...naming.named(),
  };
}

/** An event of a record about a pair or about none. */
export function eventOfRecord(record: LedgerRecord, view: ExportView): OcelEvent {
  const naming = new Naming(view);
  naming.pair(pairOf(record), 'about', (said(record, 'shoe') as Shoe | null) ?? 'both');
  naming.bench(record.bench, 'done-at');
  if (record.by !== null) naming.hand(record.by, 'done-by');
  switch (record.kind) {
    case 'hand-joined':
      naming.hand(record.hand, record.as === 'beside' ? 'done-beside' : 'answered-for-by');
      break;
    case 'let-through':
      if (record.hand !== null) naming.hand(record.hand, 'let-through');
      break;
    case 'last-taken':
    case 'last-freed':
      naming.last(record.last, record.kind === 'last-taken' ? 'takes' : 'frees');
      break;
    case 'machine-stopped':
    case 'machine-back':
      naming.bench(record.where, 'machine-at');
      break;
  }
  return {
    id: record.id,
    type: record.kind,
    time: inUtc(record.at),
    attributes: attributesOf(record),
    ...naming.named(),
  };
}

const TOLD = ['stage', 'from', 'to', 'shoe', 'why', 'reason', 'text', 'weight', 'zone', 'defect', 'fault'];

/** The kind's own words, as far as they name no person. */
function attributesOf(record: LedgerRecord): readonly OcelAttribute[] {
  return TOLD.flatMap((name) => {
    const value = said(record, name);
    return value === null ? [] : [text(name, value)];
  });
}

function text(name: string, value: string): OcelAttribute {
  return { name, type: 'string', value };
}

/** Collects what one event names, each thing once in each part that it has. */
class Naming {
  readonly #view: ExportView;
  readonly #relationships = new Map<string, OcelRelationship>();
  readonly #things = new Map<string, SharedThing>();

  constructor(view: ExportView) {
    this.#view = view;
  }

  pair(pair: string | null, qualifier: string, shoe: Shoe): void {
    if (pair === null) return;
    this.#relate(objectId.pair(pair), qualifier);
    for (const side of SIDES) {
      if (shoe === 'both' || shoe === side) this.#relate(objectId.shoe(pair, side), qualifier);
    }
  }

  hand(hand: OperativeId, qualifier: string): void {
    const id = objectId.hand(hand, this.#view);
    this.#things.set(id, { type: 'hand', id });
    this.#relate(id, qualifier);
  }

  bench(bench: BenchId, qualifier: string): void {
    const id = objectId.bench(bench);
    const name = this.#view.benchName(bench) ?? bench;
    this.#things.set(id, { type: 'bench', id, name, stages: this.#view.benchStages(bench).join(' ') });
    this.#relate(id, qualifier);
  }

  last(last: string, qualifier: string): void {
    const id = objectId.last(last);
    this.#things.set(id, { type: 'last', id });
    this.#relate(id, qualifier);
  }

  named(): Pick<OcelEvent, 'relationships' | 'things'> {
    return { relationships: [...this.#relationships.values()], things: [...this.#things.values()] };
  }

  #relate(id: string, qualifier: string): void {
    this.#relationships.set(`${qualifier} ${id}`, { objectId: id, qualifier });
  }
}
