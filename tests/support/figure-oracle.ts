/**
 * Figures by counting, minute by minute, straight from the records: slow, plain, and without a line of the program's own
 * folding and figuring. It takes for granted what `figure-histories.ts` promises: whole minutes, and an order of the
 * records that is that of their instants.
 */
import type { ShiftSpan } from '../../src/domain/calendar/calendar.ts';
import type { LedgerRecord, OneShoe, Shoe } from '../../src/domain/record/kinds.ts';

const MINUTE = 60_000;
const SIDES: readonly OneShoe[] = ['left', 'right'];
const on = (shoe: Shoe) => SIDES.filter((side) => shoe === 'both' || shoe === side);

/** The way of every pair: stages with what must come before, those done only where asked for, and the owner's. */
export interface PlainRoute {
  readonly stages: readonly string[];
  readonly needs: readonly (readonly [string, string])[];
  readonly ifNeeded: readonly string[];
  readonly owner: string;
}

export interface PlainSpell {
  readonly id: string;
  readonly pair: string;
  readonly stage: string;
  readonly shoe: Shoe;
  readonly bench: string;
  readonly scanned: boolean;
  hands: { hand: string; from: number }[];
  from: number;
  to: number | null;
  known: boolean;
  done: boolean;
  endedBy: string | null;
  amends: string[];
  undone: Record<OneShoe, { at: number; to: string } | null>;
}

/** What waits in one minute, by shoe: bit 0 for the route's first stage, bit 1 for its second … */
export interface Waiting {
  readonly left: number;
  readonly right: number;
}

type Told = Extract<LedgerRecord, { pair: unknown }>;

/** The records that stand, in the order of their instants. */
function standing(records: readonly LedgerRecord[]): readonly LedgerRecord[] {
  const facts = new Set<string>(records.filter(({ kind }) => kind !== 'voided').map(({ id }) => id));
  const gone = new Set<string>();
  for (const record of records) if (record.kind === 'voided' && facts.has(record.of)) gone.add(record.of);
  return records
    .filter((record) => record.kind !== 'voided' && !gone.has(record.id))
    .sort((a, b) => a.at - b.at || (a.bench === b.bench ? a.seq - b.seq : a.bench < b.bench ? -1 : 1));
}

/** What one pair's records say, once all are read. */
export class PlainPair {
  readonly pair: string;
  readonly told: readonly Told[];
  readonly spells: PlainSpell[] = [];
  /** From and to, in minutes of the epoch; to is Infinity while it is here. */
  readonly stays: { from: number; to: number; unfinished: boolean }[] = [];
  readonly #asides: { from: number; to: number }[] = [];
  readonly #notes = new Map<string, { from: number; to: number }>();
  readonly #route: PlainRoute;
  readonly #turns = new Set<number>();

  constructor(pair: string, records: readonly LedgerRecord[], route: PlainRoute) {
    this.pair = pair;
    this.#route = route;
    this.told = standing(records).filter(
      (record): record is Told => 'pair' in record && record.pair === pair,
    );
    for (const record of this.told) this.#read(record);
    this.#readStays();
    this.#readHolds();
    for (const { at } of this.told) this.#turns.add(at);
    for (const { from, to } of this.spells) for (const at of [from, to ?? from]) this.#turns.add(at);
  }

  #read(record: Told): void {
    const open = (of: string) => this.spells.find(({ id }) => id === of);
    switch (record.kind) {
      case 'clocked-in':
      case 'done-unscanned': {
        const scanned = record.kind === 'clocked-in';
        const { id, pair, stage, shoe, bench, by, at } = record;
        // Whoever clocked in was there from the beginning, whenever that was.
        const hands = scanned && by !== null ? [{ hand: by, from: -Infinity }] : [];
        const undone = { left: null, right: null };
        const end = scanned ? { to: null, endedBy: null } : { to: at, endedBy: id };
        this.spells.push({
          ...{ id, pair, stage, shoe, bench, scanned, hands, from: at, ...end },
          ...{ known: scanned, done: !scanned, amends: [], undone },
        });
        break;
      }
      case 'clocked-out': {
        const spell = open(record.of);
        if (spell === undefined || spell.endedBy !== null) break;
        spell.to = Math.max(record.at, spell.from);
        spell.known = record.timed;
        spell.done = record.outcome === 'done';
        spell.endedBy = record.id;
        break;
      }
      case 'hand-joined': {
        const spell = open(record.of);
        if (spell === undefined || record.as !== 'beside') break;
        if (!spell.hands.some(({ hand }) => hand === record.hand))
          spell.hands.push({ hand: record.hand, from: record.at });
        break;
      }
      case 'time-given': {
        const spell = open(record.of);
        if (spell !== undefined) giveTime(spell, record);
        break;
      }
      case 'sent-back':
        for (const { stage, shoe } of [{ stage: record.to, shoe: record.shoe }, ...record.again])
          for (const spell of this.spells)
            for (const side of SIDES)
              if (
                spell.stage === stage &&
                spell.done &&
                on(shoe).includes(side) &&
                on(spell.shoe).includes(side)
              )
                spell.undone[side] ??= { at: record.at, to: record.to };
        break;
      default:
        break;
    }
  }

  /** When what the record says is now known to have been. */
  #when(record: Told): number {
    const begun = record.kind === 'clocked-in' ? this.spells.find(({ id }) => id === record.id)?.from : null;
    return begun ?? this.spells.find(({ endedBy }) => endedBy === record.id)?.to ?? record.at;
  }

  #readStays(): void {
    const back: { id: string; at: number }[] = [];
    for (const record of this.told) {
      const at = this.#when(record);
      const ends = this.spells.find(({ endedBy }) => endedBy === record.id);
      const comes = record.kind === 'clocked-in' || record.kind === 'sent-back';
      if (comes) back.push({ id: record.id, at });
      // Whoever gives the end afterwards may find that the pair was at work again by then.
      const tooLate =
        record.kind === 'time-given' &&
        back.some((one) => one.id !== ends?.id && one.at >= (ends?.to ?? Infinity));
      const leaves =
        record.kind === 'handed-back' ||
        ((record.kind === 'clocked-out' || record.kind === 'time-given') &&
          record.closes &&
          ends?.done === true &&
          !tooLate);
      const last = this.stays.at(-1) ?? { from: at, to: Infinity, unfinished: false };
      if (this.stays.length === 0) this.stays.push(last);
      if (leaves) {
        last.to = Math.max(at, last.from);
        last.unfinished = record.kind === 'handed-back';
      } else if (last.to < Infinity && comes)
        this.stays.push({ from: Math.max(at, last.to), to: Infinity, unfinished: false });
    }
  }

  #readHolds(): void {
    for (const record of this.told) {
      const at = this.#when(record);
      const aside = this.#asides.at(-1);
      if (record.kind === 'set-aside' && (aside === undefined || aside.to < Infinity))
        this.#asides.push({ from: at, to: Infinity });
      if ((record.kind === 'taken-up' || record.kind === 'clocked-in') && aside?.to === Infinity)
        aside.to = at;
      if (record.kind === 'noted' && record.weight === 'stop')
        this.#notes.set(record.id, { from: at, to: Infinity });
      const note = record.kind === 'note-released' || record.kind === 'note-cured' ? record.note : '';
      const held = this.#notes.get(note);
      if (held?.to === Infinity) held.to = at;
    }
  }

  isHere(minute: number): boolean {
    return this.stays.some(({ from, to }) => from <= minute && minute < to);
  }

  /** What waits in each minute of [from, to), one after the other: it changes only where something happened. */
  waitingOver(from: number, to: number): readonly Waiting[] {
    const all: Waiting[] = [];
    for (let minute = from; minute < to; minute += MINUTE) {
      const before = all.at(-1);
      if (before !== undefined && !this.#turns.has(minute)) all.push(before);
      else all.push({ left: this.#waitOn(minute, 'left'), right: this.#waitOn(minute, 'right') });
    }
    return all;
  }

  #waitOn(minute: number, side: OneShoe): number {
    const working = this.spells
      .filter((spell) => on(spell.shoe).includes(side) && (spell.scanned || spell.known))
      .filter(({ from, to }) => from <= minute && (to === null || minute < to))
      .map(({ stage }) => stage);
    return this.#dueOn(minute, side)
      .filter((stage) => !working.includes(stage))
      .reduce((bits, stage) => bits | (1 << this.#route.stages.indexOf(stage)), 0);
  }

  #dueOn(minute: number, side: OneShoe): readonly string[] {
    const said = this.told.filter(({ at }) => at <= minute);
    const logged = said.find((record) => record.kind === 'pair-logged');
    const within = ({ from, to }: { from: number; to: number }) => from <= minute && minute < to;
    const blocked = [...this.#asides, ...this.#notes.values()].some(within);
    const owner = ownerAfter(said);
    const away = this.stays.length > 0 && !this.isHere(minute) && minute >= (this.stays[0]?.from ?? 0);
    if (logged === undefined || blocked || away || owner === 'stopped') return [];
    const need = needsAfter(said, this.spells, this.#route);
    if (owner !== 'asked') need.set(this.#route.owner, 'never');
    else if (need.get(this.#route.owner) !== 'never') need.set(this.#route.owner, 'always');
    const finished = new Set(
      this.spells.filter((spell) => isDoneBy(spell, minute, side)).map(({ stage }) => stage),
    );
    const again = said
      .flatMap((record) =>
        record.kind === 'sent-back' ? [record.to, ...record.again.map(({ stage }) => stage)] : [],
      )
      .filter((stage) => !finished.has(stage) && need.get(stage) !== 'never' && need.has(stage));
    const before = (stage: string) => nearest(stage, this.#route, need);
    const owes = (stage: string): boolean =>
      before(stage).some((earlier) =>
        finished.has(earlier) ? false : need.get(earlier) === 'always' ? true : owes(earlier),
      );
    const standsOn = (stage: string, earlier: string): boolean =>
      before(stage).some((one) => one === earlier || standsOn(one, earlier));
    return this.#route.stages.filter(
      (stage) =>
        stage !== this.#route.owner &&
        need.get(stage) === 'always' &&
        !finished.has(stage) &&
        !owes(stage) &&
        !again.some((earlier) => earlier !== stage && standsOn(stage, earlier)),
    );
  }
}

/** A supervisor's word about a spell: the later word holds, and an end that is given is the end. */
function giveTime(spell: PlainSpell, record: Extract<LedgerRecord, { kind: 'time-given' }>): void {
  const [heldFrom, heldTo] = [spell.from, spell.to];
  const end = record.to ?? heldTo;
  const begin = record.from ?? heldFrom;
  const backwards = end !== null && end < begin;
  const known = spell.scanned
    ? spell.known || record.to !== null
    : spell.known || (record.from !== null && record.to !== null);
  spell.amends.push(record.id);
  spell.from = record.to === null && end !== null ? Math.min(begin, end) : begin;
  spell.to = end === null ? null : Math.max(end, spell.from);
  const wasOpen = spell.endedBy === null;
  spell.known = known && !backwards;
  if (!wasOpen || (record.to === null && record.outcome === null)) return;
  spell.to ??= Math.max(record.at, spell.from);
  spell.known = spell.known && record.to !== null;
  spell.done = record.outcome === 'done';
  spell.endedBy = record.id;
}

function isDoneBy(spell: PlainSpell, minute: number, side: OneShoe): boolean {
  const back = spell.undone[side];
  return (
    spell.done &&
    on(spell.shoe).includes(side) &&
    spell.to !== null &&
    spell.to <= minute &&
    (back === null || back.at > minute)
  );
}

function ownerAfter(said: readonly Told[]): 'none' | 'asked' | 'given' | 'stopped' {
  let owner: 'none' | 'asked' | 'given' | 'stopped' = 'none';
  for (const record of said) {
    if (record.kind === 'pair-logged' && owner === 'none') owner = record.yes === 'to-ask' ? 'asked' : 'none';
    if (record.kind === 'owner-asked' && owner !== 'stopped') owner = 'asked';
    if (record.kind === 'owner-answered') owner = record.answer === 'stop' ? 'stopped' : 'given';
  }
  return owner;
}

function needsAfter(
  said: readonly Told[],
  spells: readonly PlainSpell[],
  route: PlainRoute,
): Map<string, string> {
  const usual = (stage: string) => (route.ifNeeded.includes(stage) ? 'if-needed' : 'always');
  const need = new Map(route.stages.map((stage) => [stage, usual(stage)]));
  const asks = (stage: string) => need.has(stage) && need.set(stage, 'always');
  for (const record of said) {
    if (record.kind === 'stage-asked') record.stages.forEach(asks);
    if (record.kind === 'not-needed' && need.has(record.stage)) need.set(record.stage, 'never');
    if (record.kind !== 'sent-back') continue;
    asks(record.to);
    for (const { stage, undone } of spells)
      if (SIDES.some((side) => undone[side]?.at === record.at)) asks(stage);
  }
  return need;
}

/** The nearest stages before this one that are on the way; what is left out hands its own needs on. */
function nearest(stage: string, route: PlainRoute, need: ReadonlyMap<string, string>): readonly string[] {
  return route.needs
    .filter(([later]) => later === stage)
    .flatMap(([, earlier]) => (need.get(earlier) === 'never' ? nearest(earlier, route, need) : [earlier]));
}

// ── Time ──

/** Whether nobody is expected to work: a break through which no other shift works. */
export function isBreak(minute: number, shifts: readonly ShiftSpan[]): boolean {
  const running = shifts.filter(({ from, to }) => from <= minute && minute < to);
  return (
    running.length > 0 &&
    running.every(({ breaks }) => breaks.some(({ from, to }) => from <= minute && minute < to))
  );
}

/** Whether the minute is of a gap between two shifts that lies within from … to with something to spare at both ends. */
export function isBetween(minute: number, from: number, to: number, shifts: readonly ShiftSpan[]): boolean {
  if (shifts.some((shift) => shift.from <= minute && minute < shift.to)) return false;
  const before = Math.max(...shifts.filter((shift) => shift.to <= minute).map((shift) => shift.to));
  const after = Math.min(...shifts.filter((shift) => shift.from > minute).map((shift) => shift.from));
  return Number.isFinite(before) && Number.isFinite(after) && from < before && after < to;
}

/** One hand's share of one minute: at which spell, and how much of the minute. */
export interface Worked {
  readonly minute: number;
  readonly hand: string;
  readonly spell: PlainSpell;
  readonly share: number;
}

/** All work in [from, to), minute by minute. */
export function workedMinutes(
  spells: readonly PlainSpell[],
  shifts: readonly ShiftSpan[],
  from: number,
  to: number,
): readonly Worked[] {
  const parts = spells.flatMap((spell) =>
    spell.to === null || !spell.known
      ? []
      : spell.hands.map((one) => ({
          ...one,
          spell,
          from: Math.max(spell.from, one.from),
          to: spell.to ?? 0,
        })),
  );
  const worked: Worked[] = [];
  for (let minute = from; minute < to; minute += MINUTE) {
    const open = parts.filter((part) => part.from <= minute && minute < part.to);
    if (open.length === 0 || isBreak(minute, shifts)) continue;
    const at = open.filter((part) => !isBetween(minute, part.from, part.to, shifts));
    for (const { hand, spell } of at)
      worked.push({ minute, hand, spell, share: 1 / at.filter((other) => other.hand === hand).length });
  }
  return worked;
}

/** Answers whether a hand is badged on at a bench in a minute. */
export function badgesOf(records: readonly LedgerRecord[], shifts: readonly ShiftSpan[]) {
  const badges = standing(records).filter(({ kind }) => kind === 'badged-on' || kind === 'badged-off');
  return (minute: number, hand: string, bench: string): boolean => {
    const last = badges.findLast((record) => record.bench === bench && record.at <= minute);
    if (last?.kind !== 'badged-on' || last.by !== hand) return false;
    const latest = badges.findLast(({ kind, by, at }) => kind === 'badged-on' && by === hand && at <= minute);
    if (latest !== last) return false;
    const next = badges.find((record) => record.bench === bench && record.at > last.at);
    if (next?.kind === 'badged-off' && next.why === 'badge' && next.at - last.at <= 16 * 60 * MINUTE)
      return true;
    const soon = shifts.filter(({ from }) => from > last.at && from - last.at <= 30 * MINUTE);
    const running = shifts.filter(({ from, to }) => from <= last.at && last.at < to);
    return minute < Math.max(last.at, ...(soon.length > 0 ? soon : running).map(({ to }) => to));
  };
}
