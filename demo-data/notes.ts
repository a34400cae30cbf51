/** Notes in the simulation: made at the inspection, seen before work, cured by the stage that cures them. */
import { ZONES } from '../src/domain/catalogue/zones.ts';
import type { OperativeId, StageCode } from '../src/domain/ids.ts';
import type { Instant } from '../src/domain/instant.ts';
import type { Shoe } from '../src/domain/record/kinds.ts';
import { FINDINGS, type Finding, isSeenAt, STOPS } from './findings.ts';
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

/** Notes on these run along both sides, so they say which. */
const SIDED = new Set(ZONES.filter(({ hasSide }) => hasSide).map(({ id }) => id));

/**
 * The inspection's notes, made from `at` on, and the stages that the pair takes beyond its job. Returns the note that
 * halts the pair, if any.
 */
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
  askForStages(act, pair, noteAt + 5 * SECOND_MS);
  return halting;
}

/** Each stage done only if needed is asked for: by the note that it cures where there is one. */
function askForStages({ scribe, tablet, by }: Act, pair: PairOnLine, at: Instant): void {
  const rest = new Set(pair.optional);
  const ask = (stages: readonly StageCode[], note: NoteOnPair | null, why: string) =>
    scribe.say(tablet, by, at, 'stage-asked', {
      pair: pair.id,
      stages: [...stages],
      note: note?.id ?? null,
      why,
    });
  for (const note of pair.notes) {
    const { cureAt, text } = note.finding;
    if (cureAt !== null && rest.delete(cureAt)) ask([cureAt], note, text);
  }
  if (rest.size > 0) ask([...rest], null, 'Seen at the inspection');
}

/** The note, or null where this pair comes to none of the stages that it is for. */
export function noteOn(
  { scribe, random, tablet, by }: Act,
  pair: PairOnLine,
  here: StageCode,
  finding: Finding,
  at: Instant,
): NoteOnPair | null {
  const { weight, text, defect, zone, cureAt } = finding;
  const seeAt = finding.seeAt.filter((stage) => stage !== here && pair.route.has(stage));
  // An empty list would mean every stage; what this job never comes to is not noted.
  if (seeAt.length === 0 || (cureAt !== null && !pair.route.has(cureAt))) return null;
  const shoe: Shoe = zone === null ? 'both' : random.pick(['left', 'right']);
  const { id } = scribe.say(tablet, by, at, 'noted', {
    pair: pair.id,
    shoe,
    zone,
    side: zone !== null && SIDED.has(zone) ? random.pick(['inside', 'outside'] as const) : null,
    defect,
    weight,
    text,
    seeAt,
    cureAt: cureAt === null ? [] : [cureAt],
  });
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
    if (cured || !isSeenAt(finding, stage) || seen.has(key)) continue;
    seen.add(key);
    seenAt += random.int(2, 7) * SECOND_MS;
    scribe.say(tablet, by, seenAt, 'note-seen', { pair: pair.id, note: id, stage });
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
    scribe.say(tablet, by, at, 'note-cured', { pair: pair.id, note: note.id, stage });
  }
}
