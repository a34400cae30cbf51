/** A pair's state in plain fields, and its account. */
import { minutesOf, sentBack } from '../../domain/export/spell-table.ts';
import { inUtc } from '../../domain/export/times.ts';
import type { ExportView } from '../../domain/export/view.ts';
import type { Placed } from '../../domain/fold/order.ts';
import { foldPair } from '../../domain/fold/pair.ts';
import type { NoteState, Spell } from '../../domain/fold/pair-state.ts';
import type { PairId } from '../../domain/ids.ts';
import type { Instant } from '../../domain/instant.ts';
import type { SiteBook } from '../../domain/site-book.ts';
import { type AccountLine, accountOf } from '../../domain/whereabouts-account.ts';
import type { ReadPairAnswer } from '../../wire/read.ts';
import { recordLine } from '../../words/whereabouts-account.ts';
import { plainRecord } from './plain-record.ts';

type Reading = { readonly view: ExportView; readonly book: SiteBook };

/** @param reading its book names hands as they are to be called outside */
export function plainPair(pair: PairId, placed: readonly Placed[], reading: Reading): ReadPairAnswer {
  const state = foldPair(pair, placed);
  const { logged, details, owner, closedAt, handedBack, setAside } = state;
  const positionOf = positions(placed);
  return {
    pair,
    logged: timeOf(logged?.at),
    details: details && detailsOf(details),
    ownersYes: { is: owner.is, since: timeOf(owner.since), why: owner.why },
    inWorks: closedAt === null && handedBack === null,
    closed: timeOf(closedAt),
    handedBack: timeOf(handedBack?.at),
    setAside: setAside && { since: inUtc(setAside.at), stage: setAside.stage, why: setAside.reason },
    parted: state.parted?.shoe ?? null,
    rack: state.rack,
    onLast: state.last,
    spells: state.spells.map((spell) => plainSpell(spell, reading.view)),
    notes: state.notes.map(plainNote),
    flags: state.flags.map(({ flag, record }) => ({ flag, record })),
    account: accountOf(placed, state).map((line) => plainLine(line, positionOf, reading)),
  };
}

function detailsOf({
  job,
  ownerRef,
  style,
  last,
  size,
  fitting,
  promised,
  maker,
  asked,
}: NonNullable<ReadPairAnswer['details']>) {
  return { job, ownerRef, style, last, size, fitting, promised, maker, asked };
}

function plainSpell(spell: Spell, view: ExportView): ReadPairAnswer['spells'][number] {
  const { id, stage, shoe, bench, by, joined, from, to, outcome } = spell;
  return {
    id,
    stage,
    stageName: view.stageName(stage),
    shoe,
    bench,
    benchName: view.benchName(bench),
    hand: by === null ? null : view.handCalled(by),
    joined: joined.map(({ hand, as }) => ({ hand: view.handCalled(hand), as })),
    from: inUtc(from),
    to: timeOf(to),
    minutes: minutesOf(spell),
    outcome,
    sentBack: sentBack(spell),
  };
}

function plainNote({ note, cured, released }: NoteState): ReadPairAnswer['notes'][number] {
  const { id, shoe, zone, weight, text, at } = note;
  const [curedAt, releasedAt] = [timeOf(cured?.at), timeOf(released?.at)];
  return { id, shoe, zone, weight, text, made: inUtc(at), cured: curedAt, released: releasedAt };
}

function plainLine(
  { record, takenBackBy }: AccountLine,
  positionOf: ReadonlyMap<string, number>,
  { view, book }: Reading,
): ReadPairAnswer['account'][number] {
  return {
    record: plainRecord(record, positionOf.get(record.id) ?? 0, true, view),
    words: recordLine(record, book),
    takenBackBy: takenBackBy?.id ?? null,
  };
}

function positions(placed: readonly Placed[]): ReadonlyMap<string, number> {
  return new Map(placed.flatMap(({ record, pos }) => (pos === null ? [] : [[record.id, pos] as const])));
}

function timeOf(at: Instant | null | undefined): string | null {
  return at === null || at === undefined ? null : inUtc(at);
}
