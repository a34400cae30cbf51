/** Notes in the simulation: made at the inspection, seen before work, cured by the stage that cures them. */
import { correctedInstant, type Making, noteSeen } from '../src/domain/drafts.ts';
import type { OperativeId, PairId, RecordId, StageCode } from '../src/domain/ids.ts';
import type { Instant } from '../src/domain/instant.ts';
import { CURRENT_VERSION, type Draft, type Shoe } from '../src/domain/record/kinds.ts';
import { FINDINGS, type Finding, STOPS } from './findings.ts';
import type { NoteOnPair, PairOnLine } from './pairs.ts';
import type { Prng } from './prng.ts';
import type { Scribe, Tablet } from './tablets.ts';

const SECOND_MS = 1000;

export interface Act {
  readonly scribe: Scribe;
  readonly random: Prng;
  readonly tablet: Tablet;
  readonly by: OperativeId;
}

/** What everything that this workshop writes by itself carries. */
export function envelopeOf({ site, bench, by, wall, newId }: Making) {
  return { id: newId(), site, bench, by, wall, at: correctedInstant(wall), v: CURRENT_VERSION };
}

export const noteCured = (
  making: Making,
  pair: PairId,
  note: RecordId,
  stage: StageCode,
): Draft<'note-cured'> => ({
  ...envelopeOf(making),
  kind: 'note-cured',
  pair,
  note,
  stage,
});

/** The inspection's notes, made from `at` on. Returns the one that halts the pair, if any. */
export function inspect(act: Act, pair: PairOnLine, stage: StageCode, at: Instant): NoteOnPair | null {
  const { random } = act;
  const count = random.weighted([
    [0, 30],
    [1, 40],
    [2, 20],
    [3, 10],
  ] as const);
  const found = new Set(Array.from({ length: count }, () => random.weighted(FINDINGS)));
  if (random.chance(0.045)) found.add(random.weighted(STOPS));
  let halting: NoteOnPair | null = null;
  let noteAt = at;
  for (const finding of found) {
    noteAt += random.int(8, 25) * SECOND_MS;
    const note = noteOn(act, pair, stage, finding, noteAt);
    if (note?.finding.weight === 'stop') halting = note;
  }
  return halting;
}

function noteOn(
  { scribe, random, tablet, by }: Act,
  pair: PairOnLine,
  here: StageCode,
  finding: Finding,
  at: Instant,
): NoteOnPair | null {
  const { weight, text, zone, cureAt } = finding;
  const seeAt = finding.seeAt.filter((stage) => stage !== here && pair.route.has(stage));
  // An empty list would mean every stage; what this job never comes to is not noted.
  if (seeAt.length === 0 || (cureAt !== null && !pair.route.has(cureAt))) return null;
  const shoe: Shoe = zone === null ? 'both' : random.pick(['left', 'right']);
  const { id } = scribe.write(tablet, by, at, (making) => ({
    ...envelopeOf(making),
    kind: 'noted',
    pair: pair.id,
    shoe,
    zone,
    weight,
    text,
    seeAt,
  }));
  const note: NoteOnPair = { id, finding: { ...finding, seeAt }, seen: new Set(), cured: false };
  pair.notes.push(note);
  return note;
}

/** The hand sees every note that it must see here and has not seen. Returns when it has. */
export function seeNotes(
  { scribe, random, tablet, by }: Act,
  pair: PairOnLine,
  stage: StageCode,
  at: Instant,
): Instant {
  let seenAt = at;
  for (const { id, finding, seen, cured } of pair.notes) {
    const key = `${by} ${stage}`;
    if (cured || !finding.seeAt.includes(stage) || seen.has(key)) continue;
    seen.add(key);
    seenAt += random.int(2, 7) * SECOND_MS;
    scribe.write(tablet, by, seenAt, (making) => noteSeen(making, pair.id, id, stage));
  }
  return seenAt;
}

/** What this stage cures is cured. */
export function cureNotes(
  { scribe, tablet, by }: Act,
  pair: PairOnLine,
  stage: StageCode,
  at: Instant,
): void {
  for (const note of pair.notes) {
    if (note.cured || note.finding.cureAt !== stage) continue;
    note.cured = true;
    scribe.write(tablet, by, at, (making) => noteCured(making, pair.id, note.id, stage));
  }
}
