/**
 * Which of the camera's readings are let through.
 *
 * - A code of ours carries its own check character: one reading is enough.
 * - A site's own ticket number has none: it must be read the same in two frames within `AGREE_MS`.
 * - A damaged or foreign reading is let through, so that the person can be told, only once it has been read the
 *   same twice and no good code was seen a moment ago: a single garbled frame never shouts.
 * - Two codes that could both be meant are never chosen between: the person is asked to show one.
 */
import { classify } from '../../domain/code.ts';
import type { TicketPattern } from '../../domain/ticket-pattern.ts';
import type { Reading } from './decoder.ts';

/** Two equal readings further apart than this do not confirm each other. */
export const AGREE_MS = 500;
/** The same for readings that are only to be reported, and how long a good code keeps them quiet. */
export const FAULT_MS = 1500;

/** So long after two codes were in view together nothing is taken: in one frame only one of them may be read. */
export const SEVERAL_MS = 600;

interface Sighting {
  readonly at: number;
  /** Frames in a row (each within the window of the one before) that said this. */
  readonly frames: number;
}

/** What was read lately, by text. */
export interface Acceptance {
  readonly sightings: ReadonlyMap<string, Sighting>;
  readonly goodAt: number | null;
  readonly severalAt: number | null;
}

export const NOTHING_READ: Acceptance = { sightings: new Map(), goodAt: null, severalAt: null };

export type Accepted =
  | { readonly kind: 'nothing' }
  | { readonly kind: 'taken'; readonly reading: Reading }
  | { readonly kind: 'several'; readonly texts: readonly string[] };

export interface AcceptanceFrame {
  readonly at: number;
  readonly readings: readonly Reading[];
  readonly pattern: TicketPattern | null;
  /** Whether a text has been taken already and lies in view still. */
  readonly isHeld: (text: string) => boolean;
}

type Worth = 'checked' | 'unchecked' | 'fault';

interface Candidate {
  readonly reading: Reading;
  readonly worth: Worth;
  readonly kind: string;
  readonly sighting: Sighting;
}

/** Looks at one frame's readings in the light of those before it. */
export function accept(
  before: Acceptance,
  frame: AcceptanceFrame,
): { readonly acceptance: Acceptance; readonly accepted: Accepted } {
  const candidates = distinct(frame.readings).map((reading) => weigh(reading, before, frame));
  const good = candidates.filter(({ worth }) => worth !== 'fault').filter(isConfirmed);
  const rivals = rivalsIn(good, frame);
  const acceptance: Acceptance = {
    sightings: remember(before, candidates, frame.at),
    goodAt: good.length > 0 ? frame.at : before.goodAt,
    severalAt: rivals.length > 0 ? frame.at : before.severalAt,
  };
  if (rivals.length > 0) return { acceptance, accepted: { kind: 'several', texts: rivals } };
  if (isRecent(acceptance.severalAt, frame.at, SEVERAL_MS))
    return { acceptance, accepted: { kind: 'nothing' } };
  const chosen = good.find(isFresh(frame)) ?? chooseFault(candidates, acceptance, frame);
  const accepted: Accepted =
    chosen === undefined ? { kind: 'nothing' } : { kind: 'taken', reading: chosen.reading };
  return { acceptance, accepted };
}

/**
 * The codes that could all be meant, or none where it is plain. A ticket left lying while a badge is shown is
 * plain; two tickets are not, nor a ticket and a badge that are both new.
 */
function rivalsIn(good: readonly Candidate[], frame: AcceptanceFrame): readonly string[] {
  const fresh = good.filter(isFresh(frame));
  const rivals = good.filter((one) => fresh.includes(one) || fresh.some(({ kind }) => kind === one.kind));
  return rivals.length > 1 ? rivals.map(({ reading }) => reading.text).sort() : [];
}

function chooseFault(
  candidates: readonly Candidate[],
  { goodAt }: Acceptance,
  frame: AcceptanceFrame,
): Candidate | undefined {
  if (isRecent(goodAt, frame.at, FAULT_MS)) return undefined;
  return candidates
    .filter(({ worth }) => worth === 'fault')
    .filter(isConfirmed)
    .find(isFresh(frame));
}

function isFresh({ isHeld }: AcceptanceFrame): (candidate: Candidate) => boolean {
  return ({ reading }) => !isHeld(reading.text);
}

function isRecent(then: number | null, at: number, withinMs: number): boolean {
  return then !== null && at - then < withinMs;
}

/** A ticket carries its code twice, as a QR and as bars: one text is one reading. */
function distinct(readings: readonly Reading[]): readonly Reading[] {
  return [...new Map([...readings].reverse().map((reading) => [reading.text, reading])).values()].reverse();
}

function weigh(reading: Reading, before: Acceptance, { at, pattern }: AcceptanceFrame): Candidate {
  const code = classify(reading.text, 'camera', pattern);
  const worth: Worth =
    code.kind === 'damaged' || code.kind === 'foreign'
      ? 'fault'
      : code.kind === 'ticket' && !code.checked
        ? 'unchecked'
        : 'checked';
  const last = before.sightings.get(reading.text);
  const agrees = last !== undefined && at - last.at <= windowOf(worth);
  return { reading, worth, kind: code.kind, sighting: { at, frames: agrees ? last.frames + 1 : 1 } };
}

function isConfirmed({ worth, sighting }: Candidate): boolean {
  return worth === 'checked' || sighting.frames >= 2;
}

function windowOf(worth: Worth): number {
  return worth === 'fault' ? FAULT_MS : AGREE_MS;
}

function remember(before: Acceptance, candidates: readonly Candidate[], at: number): Acceptance['sightings'] {
  const kept = [...before.sightings].filter(([, sighting]) => at - sighting.at <= FAULT_MS);
  return new Map([...kept, ...candidates.map(({ reading, sighting }) => [reading.text, sighting] as const)]);
}
