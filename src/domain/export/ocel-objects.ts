/** The things of an OCEL 2.0 log: pairs and their shoes, hands, benches and pairs of lasts, with how their words changed. */
import type { OperativeId } from '../ids.ts';
import type { LedgerRecord, OneShoe } from '../record/kinds.ts';
import { SIDES } from '../record/kinds.ts';
import type { PairStory } from './happenings.ts';
import { inUtc } from './times.ts';
import type { ExportView } from './view.ts';

export interface OcelRelationship {
  readonly objectId: string;
  readonly qualifier: string;
}

export interface OcelObject {
  readonly id: string;
  readonly type: string;
  readonly attributes: readonly { readonly name: string; readonly value: string; readonly time: string }[];
  readonly relationships: readonly OcelRelationship[];
}

/** Names of things: the kind goes before the name, so that no two things of different kinds are one. */
export const objectId = {
  pair: (pair: string) => `pair ${pair}`,
  shoe: (pair: string, side: OneShoe) => `shoe ${pair} ${side}`,
  hand: (hand: OperativeId, { handCalled }: ExportView) => `hand ${handCalled(hand)}`,
  bench: (bench: string) => `bench ${bench}`,
  last: (last: string) => `last ${last}`,
};

const text = (name: string) => ({ name, type: 'string' });

/** What the office holds of a pair that is of use in a log. Nothing by which its owner could be found. */
const DETAILS = ['job', 'promised', 'style', 'last', 'size', 'fitting'] as const;

export const OBJECT_TYPES = [
  { name: 'pair', attributes: DETAILS.map(text) },
  { name: 'shoe', attributes: [text('side')] },
  { name: 'hand', attributes: [] },
  { name: 'bench', attributes: [text('name'), text('stages')] },
  { name: 'last', attributes: [] },
] as const;

/** A value that holds from the beginning (OCEL 2.0 takes the first instant of 1970 for it). */
const FROM_THE_BEGINNING = inUtc(0);

/** The pair and its two shoes. */
export function objectsOfPair({ pair, records }: PairStory): readonly OcelObject[] {
  const lasts = new Set(records.flatMap((record) => (record.kind === 'last-taken' ? [record.last] : [])));
  const relationships = [
    ...SIDES.map((side) => ({ objectId: objectId.shoe(pair, side), qualifier: `has-${side}` })),
    ...[...lasts].map((last) => ({ objectId: objectId.last(last), qualifier: 'on-last' })),
  ];
  const attributes = records.flatMap(wordsOn);
  return [
    { id: objectId.pair(pair), type: 'pair', attributes, relationships },
    ...SIDES.map((side) => ({
      id: objectId.shoe(pair, side),
      type: 'shoe',
      attributes: [{ name: 'side', value: side, time: FROM_THE_BEGINNING }],
      relationships: [],
    })),
  ];
}

/** What a record says of its pair, and from when on that holds. */
function wordsOn(record: LedgerRecord): OcelObject['attributes'] {
  const said: Partial<Record<string, unknown>> =
    record.kind === 'pair-amended'
      ? record.changes
      : record.kind === 'pair-logged' || record.kind === 'owner-answered'
        ? record
        : {};
  const time = inUtc(record.at);
  return DETAILS.flatMap((name) => {
    const value = said[name];
    return typeof value === 'string' ? [{ name, value, time }] : [];
  });
}

/** A thing that several pairs meet: told of as it comes up, and written once. */
export type SharedThing =
  | { readonly type: 'hand' | 'last'; readonly id: string }
  | { readonly type: 'bench'; readonly id: string; readonly name: string; readonly stages: string };

export function objectOfShared(thing: SharedThing): OcelObject {
  const holds = (name: string, value: string) => ({ name, value, time: FROM_THE_BEGINNING });
  const { id, type } = thing;
  const attributes = thing.type === 'bench' ? [holds('name', thing.name), holds('stages', thing.stages)] : [];
  return { id, type, attributes, relationships: [] };
}
