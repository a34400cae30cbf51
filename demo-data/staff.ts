/** Badges, tablets and set-up codes of the workshop: one crew and its benches for each line, one office for all. */
import type { Span } from '../src/domain/calendar/calendar.ts';
import { issueToken } from '../src/domain/code.ts';
import {
  asBenchId,
  asOperativeId,
  type BenchId,
  type OperativeId,
  type StageCode,
} from '../src/domain/ids.ts';
import { HOUR_MS } from '../src/domain/instant.ts';
import type { Role } from '../src/domain/site-book.ts';
import type { HandSetup } from './hand.ts';
import type { Prng } from './prng.ts';
import type { ShiftWindow, WorkingDay } from './shifts.ts';
import { type ClockBack, drawOutages, type Tablet } from './tablets.ts';
import { BENCHES, PEOPLE, type Person } from './workshop.ts';

export interface DemoBadge {
  readonly operative: OperativeId;
  readonly name: string;
  readonly role: Role;
  readonly released: readonly StageCode[] | null;
  readonly token: string;
}

export interface DemoBench {
  readonly bench: BenchId;
  readonly lane: number;
  readonly key: string;
  readonly name: string;
  readonly place: 'bench' | 'desk';
  readonly stages: readonly StageCode[];
  readonly setupToken: string;
}

export interface Crew {
  readonly benches: readonly Tablet[];
  readonly hands: readonly HandSetup[];
}

export interface Staff {
  readonly badges: readonly DemoBadge[];
  readonly benches: readonly DemoBench[];
  readonly lines: readonly (readonly Tablet[])[];
  readonly office: Tablet;
  readonly supervision: Tablet;
  readonly clerks: readonly OperativeId[];
  readonly supervisors: readonly OperativeId[];
  readonly crew: (line: number) => Crew;
  /** Where and when a clock may be found to stand back. */
  readonly clockBack: (line: number) => ClockBack | null;
  readonly benchOf: (tablet: Tablet) => DemoBench;
}

/** The bench whose tablet has its clock three hours back for a day. */
const CLOCK_BACK_AT = 'stitching';
const SHARE_AWAY = 0.02;

export interface StaffSetup {
  readonly lineCount: number;
  readonly days: readonly WorkingDay[];
  /** The day on which one tablet's clock is wrong. */
  readonly back: WorkingDay | null;
}

export function drawStaff({ lineCount, days, back }: StaffSetup, random: Prng): Staff {
  const numbers = Array.from({ length: lineCount }, (_, line) => line);
  const lines = numbers.map((line) => drawTablets(line, { lineCount, days, back }, random));
  const lane = lineCount * BENCHES.length + 1;
  const office = drawDesk('office', 'Office', lane, random);
  const supervision = drawDesk('supervisor', "Supervisor's desk", lane + 1, random);
  const people = numbers.flatMap((line) =>
    PEOPLE.map((person) => ({ line, person, badge: drawBadge(person, line, lineCount, random) })),
  );
  const badges = people.map(({ badge }) => badge);
  const idsOf = (role: Role) =>
    badges.filter((badge) => badge.role === role).map(({ operative }) => operative);
  const benches = new Map(
    [...lines.flat(), office, supervision].map((tablet) => [tablet, demoBench(tablet, random)]),
  );
  // Whoever works at the tablet with the wrong clock is there on that day.
  const comesOn = ({ shift }: Person) =>
    days.filter((day) => day === back || !random.chance(SHARE_AWAY)).map((day) => day[shift]);
  const shiftsOf = new Map(people.map(({ person, badge }) => [badge.operative, comesOn(person)]));
  return {
    badges,
    benches: [...benches.values()],
    lines,
    office,
    supervision,
    clerks: idsOf('office'),
    supervisors: idsOf('supervisor'),
    crew: (line) => {
      const own = lines[line] ?? [];
      const hands = people
        .filter(({ line: theirs, person }) => theirs === line && person.role === 'hand')
        .map(({ person, badge }) =>
          handOf(person, badge.operative, own, shiftsOf.get(badge.operative) ?? []),
        );
      return { benches: own, hands };
    },
    clockBack: (line) => {
      const tablet = lines[line]?.find(({ key }) => key === CLOCK_BACK_AT);
      return tablet === undefined || back === null ? null : { tablet, ...awayOn(back) };
    },
    benchOf: (tablet) => {
      const bench = benches.get(tablet);
      if (bench === undefined) throw new Error(`${tablet.key} is no bench of this workshop`);
      return bench;
    },
  };
}

function drawTablets(line: number, { lineCount, days, back }: StaffSetup, random: Prng): readonly Tablet[] {
  return BENCHES.map(({ key, name, stages }, index) => {
    const outages = drawOutages(days, random);
    if (key === CLOCK_BACK_AT && back !== null) outages.push(awayOn(back));
    return {
      bench: asBenchId(lineCount === 1 ? `bench-${key}` : `bench-${key}-${line + 1}`),
      key,
      name: lineCount === 1 ? name : `${name}, line ${line + 1}`,
      place: 'bench',
      stages,
      lane: line * BENCHES.length + index + 1,
      ...drawClock(random),
      outages: outages.sort((a, b) => a.from - b.from),
    };
  });
}

function drawDesk(key: string, name: string, lane: number, random: Prng): Tablet {
  const bench = asBenchId(`desk-${key}`);
  const clock = drawClock(random);
  return { bench, key, name, place: 'desk', stages: [], lane, ...clock, outages: [] };
}

function drawClock(random: Prng): Pick<Tablet, 'clockErrorMs' | 'estimateErrorMs'> {
  return { clockErrorMs: random.int(-4000, 4000), estimateErrorMs: random.int(-60, 60) };
}

function awayOn({ early, late }: WorkingDay): Span {
  return { from: early.from + 2.5 * HOUR_MS, to: late.to + HOUR_MS };
}

function drawBadge(
  { name, role, released }: Person,
  line: number,
  lineCount: number,
  random: Prng,
): DemoBadge {
  const digits = [...random.bytes(5)].map((byte) => byte.toString(16).padStart(2, '0')).join('');
  return {
    operative: asOperativeId(`op-${digits}`),
    name: lineCount === 1 ? name : `${name} ${line + 1}`,
    role,
    released,
    token: drawToken('badge', random),
  };
}

export function drawToken(kind: 'badge' | 'bench' | 'rack', random: Prng): string {
  for (;;) {
    const token = issueToken(kind, random.bytes(48));
    if (token !== null) return token;
  }
}

function demoBench({ bench, lane, key, name, place, stages }: Tablet, random: Prng): DemoBench {
  return { bench, lane, key, name, place, stages, setupToken: drawToken('bench', random) };
}

function handOf(
  { benches, pace, released }: Person,
  id: OperativeId,
  tablets: readonly Tablet[],
  shifts: readonly ShiftWindow[],
): HandSetup {
  const own = benches.map((key) => {
    const tablet = tablets.find((candidate) => candidate.key === key);
    if (tablet === undefined) throw new Error(`no bench ${key}`);
    return tablet;
  });
  return { id, pace, released, benches: own, shifts };
}
