/**
 * Who was on at which bench, by the badges. A hand is on from badging on until badging off or until the bench is handed
 * over, until somebody else badges on there, or until the same hand badges on at another bench, whichever comes first.
 * Where none of these ends it in time, it ends with the shift: nobody is on through the night for want of a scan.
 */
import type { ShiftSpan, Span } from '../calendar/calendar.ts';
import type { BenchId, OperativeId, RecordId } from '../ids.ts';
import { HOUR_MS, type Instant, MINUTE_MS } from '../instant.ts';
import type { LedgerRecord, RecordOf } from '../record/kinds.ts';
import { holds } from './spans.ts';

export interface Presence extends Span {
  readonly hand: OperativeId;
  readonly bench: BenchId;
  /** The badging on, and what ended it where a record did. */
  readonly records: readonly RecordId[];
}

type Badging = RecordOf<'badged-on'> | RecordOf<'badged-off'>;

/** Whoever badges on so shortly before a shift begins has come for that shift. Common practice, no source. */
const EARLY_MS = 30 * MINUTE_MS;
/** Whoever has been on for longer forgot to badge off. No source. */
const LONGEST_MS = 16 * HOUR_MS;

/**
 * By their beginning; of one hand never two at once.
 * @param records of all benches, badges among them, in any order; what was taken back may be among them
 * @param shifts in any order
 */
export function presencesOf(
  records: readonly LedgerRecord[],
  shifts: readonly ShiftSpan[],
): readonly Presence[] {
  const badgings = badgingsOf(records);
  const next = nextAtBench(badgings);
  const presences: Presence[] = [];
  const latest = new Map<OperativeId, number>();
  for (const on of badgings) {
    if (on.kind !== 'badged-on' || on.by === null) continue;
    const end = endOf(on, next.get(on.id), shifts);
    const index = latest.get(on.by);
    const before = index === undefined ? undefined : presences[index];
    if (index !== undefined && before !== undefined && before.to > on.at)
      presences[index] = {
        ...before,
        to: Math.max(on.at, before.from),
        records: [...before.records.slice(0, 1), on.id],
      };
    latest.set(on.by, presences.length);
    presences.push({ hand: on.by, bench: on.bench, from: on.at, ...end });
  }
  return presences.filter(({ from, to }) => from < to);
}

function badgingsOf(records: readonly LedgerRecord[]): readonly Badging[] {
  const gone = new Set(records.flatMap((record) => (record.kind === 'voided' ? [record.of] : [])));
  return records
    .filter(
      (record): record is Badging =>
        (record.kind === 'badged-on' || record.kind === 'badged-off') && !gone.has(record.id),
    )
    .sort((a, b) => a.at - b.at || (a.bench < b.bench ? -1 : a.bench > b.bench ? 1 : a.seq - b.seq));
}

/** What comes next at the same bench: in the bench's own sequence, whatever its clock says. */
function nextAtBench(badgings: readonly Badging[]): ReadonlyMap<RecordId, Badging> {
  const inSequence = badgings.toSorted((a, b) =>
    a.bench === b.bench ? a.seq - b.seq : a.bench < b.bench ? -1 : 1,
  );
  return new Map(
    inSequence.flatMap((badging, index) => {
      const after = inSequence[index + 1];
      return after?.bench === badging.bench ? [[badging.id, after] as const] : [];
    }),
  );
}

function endOf(
  on: Badging,
  next: Badging | undefined,
  shifts: readonly ShiftSpan[],
): { readonly to: Instant; readonly records: readonly RecordId[] } {
  const latest = shiftEnd(on.at, shifts) ?? on.at;
  // A bench that nobody touched badges off by itself, and another's badge comes when it comes: neither says when the hand went.
  const ownAct = next?.kind === 'badged-off' && next.why === 'badge' && next.at - on.at <= LONGEST_MS;
  if (next !== undefined && (ownAct || next.at <= latest))
    return { to: Math.max(on.at, next.at), records: [on.id, next.id] };
  return { to: latest, records: [on.id] };
}

/** The end of the shift that a hand who badges on then has come for; null outside shifts. */
function shiftEnd(at: Instant, shifts: readonly ShiftSpan[]): Instant | null {
  const soon = shifts.filter(({ from }) => from > at && from - at <= EARLY_MS);
  const running = shifts.filter((shift) => holds(shift, at));
  const meant = soon.length > 0 ? soon : running;
  return meant.length === 0 ? null : Math.max(...meant.map(({ to }) => to));
}
