/**
 * An object-centric event log by OCEL 2.0 (Berti and others, specification of 2023-10-16), as JSON (section 8): what
 * happened, and which pairs, shoes, hands, benches and lasts it happened to.
 *
 * Written as a stream: a log of years is never held. The pairs are gone through twice, first for what happened and then
 * for what they are; only the types, and the things that pairs share, are kept in between.
 */
import type { LedgerRecord } from '../record/kinds.ts';
import { type PairLog, storyOf } from './happenings.ts';
import { eventOf, eventOfRecord, type OcelEvent } from './ocel-events.ts';
import { OBJECT_TYPES, objectOfShared, objectsOfPair, type SharedThing } from './ocel-objects.ts';
import type { ExportView } from './view.ts';

export interface LogSource {
  /** Each pair once; asked again, the same pairs with the same records. */
  readonly pairs: () => AsyncIterable<PairLog>;
  /** Records that are about no pair, without those taken back, each once. */
  readonly benchRecords: () => AsyncIterable<LedgerRecord>;
}

/** The file's text, in pieces. */
export async function* ocelText(source: LogSource, view: ExportView): AsyncIterable<string> {
  const kept = new Kept();
  yield '{"events":[';
  let comma = '';
  for await (const event of eventsIn(source, view)) {
    kept.keep(event);
    yield `${comma}\n${eventText(event)}`;
    comma = ',';
  }
  yield '\n],"objects":[';
  comma = '';
  for await (const log of source.pairs()) {
    for (const object of objectsOfPair(storyOf(log))) {
      yield `${comma}\n${JSON.stringify(object)}`;
      comma = ',';
    }
  }
  for (const thing of kept.things()) {
    yield `${comma}\n${JSON.stringify(objectOfShared(thing))}`;
    comma = ',';
  }
  yield `\n],"eventTypes":${JSON.stringify(kept.eventTypes())},"objectTypes":${JSON.stringify(OBJECT_TYPES)}}\n`;
}

async function* eventsIn(source: LogSource, view: ExportView): AsyncIterable<OcelEvent> {
  for await (const log of source.pairs()) {
    for (const happening of storyOf(log).happenings) yield eventOf(happening, view);
  }
  for await (const record of source.benchRecords()) yield eventOfRecord(record, view);
}

function eventText({ id, type, time, attributes, relationships }: OcelEvent): string {
  const told = attributes.map(({ name, value }) => ({ name, value }));
  return JSON.stringify({ id, type, time, attributes: told, relationships });
}

/** What has to be told once all events are written. */
class Kept {
  readonly #types = new Map<string, Map<string, string>>();
  readonly #things = new Map<string, SharedThing>();

  keep({ type, attributes, things }: OcelEvent): void {
    const known = this.#types.get(type) ?? new Map<string, string>();
    for (const { name, type: kind } of attributes) known.set(name, kind);
    this.#types.set(type, known);
    for (const thing of things) this.#things.set(thing.id, thing);
  }

  things(): Iterable<SharedThing> {
    return this.#things.values();
  }

  eventTypes() {
    return [...this.#types].map(([name, attributes]) => ({
      name,
      attributes: [...attributes].map(([attribute, type]) => ({ name: attribute, type })),
    }));
  }
}
