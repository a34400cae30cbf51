/**
 * Tells a wedge scanner's burst of keys from a person's typing. Keystrokes with their times go in; what to do
 * with each comes out. It knows no page, no field and no clock.
 *
 * A burst is a run of keys that comes at `averageMsMax` a character or quicker, with no gap over `gapMsMax`, has
 * at least `lengthMin` characters and ends with Enter or Tab. Nobody types so: at 120 words a minute a character
 * takes 100 ms.
 *
 *     typing ──4 quick characters──► holding ──end key──► scan
 *        ▲                              │ pause, or too slow in the end
 *        └──────── given back ◄─────────┘
 *
 * The first three characters cannot be known for a burst and pass; from the fourth on they are held back. When
 * the run turns out to be a scan the caller undoes the first three; when it was typing after all, it is handed
 * what was held back. A key that is held down and repeats is never a scanner.
 */
import { usCharacter } from './us-layout.ts';

export interface Keystroke {
  /** Place of the key (`KeyboardEvent.code`), empty where the device does not tell. */
  readonly code: string;
  /** What the tablet's layout makes of it (`KeyboardEvent.key`). */
  readonly key: string;
  readonly shift: boolean;
  readonly alt: boolean;
  /** Ctrl or Meta is down. */
  readonly control: boolean;
  readonly repeat: boolean;
  /** Milliseconds, of the event itself and not of its handling. */
  readonly at: number;
}

export interface BurstLimits {
  readonly averageMsMax: number;
  readonly gapMsMax: number;
  readonly lengthMin: number;
  /** An end key or a space this soon after a burst belongs to it. */
  readonly tailMs: number;
}

export const BURST_LIMITS: BurstLimits = { averageMsMax: 50, gapMsMax: 100, lengthMin: 6, tailMs: 100 };

/** So many quick characters, and the keys are held back. */
const HOLD_FROM = 4;
/** So many quick keys with Ctrl or Alt among them, and they were a scanner's. */
const STRANGE_FROM = 3;
/** No symbol that a bench reads is longer; what comes after is counted, not kept. */
const KEPT_MAX = 256;

interface Character {
  /** By its place on a US keyboard, else null. */
  readonly us: string | null;
  /** As the tablet's layout has it. */
  readonly key: string;
  readonly held: boolean;
}

interface Run {
  readonly characters: readonly Character[];
  readonly count: number;
  readonly startedAt: number;
  readonly lastAt: number;
  readonly strange: 'control-keys' | 'alt-codes' | null;
}

export interface Burst {
  readonly run: Run | null;
  readonly endedAt: number | null;
}

export const NO_BURST: Burst = { run: null, endedAt: null };

export type Verdict =
  /** Typing, as far as can be told: let the key do what it does. */
  | { readonly kind: 'pass' }
  /** Part of a burst: the key must do nothing. */
  | { readonly kind: 'hold' }
  /**
   * It was typing after all. `typed` was held back and is due now; then the present key, if any, does what it
   * does. `quick` says that characters came as fast as a scanner's, so that an Enter is not a person's.
   */
  | { readonly kind: 'given-back'; readonly typed: string; readonly quick: boolean }
  /** `by` is the weaker of the two where some key did not tell its place. */
  | { readonly kind: 'scan'; readonly text: string; readonly by: 'place' | 'layout' }
  /** As fast as a scan, and long enough, but no end key came. The caller judges by the text. */
  | { readonly kind: 'unended'; readonly text: string; readonly typed: string }
  | { readonly kind: 'dropped'; readonly why: 'control-keys' | 'alt-codes' };

export interface Step {
  readonly burst: Burst;
  readonly verdict: Verdict;
}

const PASS: Verdict = { kind: 'pass' };
const HOLD: Verdict = { kind: 'hold' };
const MODIFIERS = ['Shift', 'Control', 'Alt', 'AltGraph', 'Meta', 'CapsLock', 'NumLock'];
const END_KEYS = ['Enter', 'Tab'];

/** Judges one keydown. */
export function press(burst: Burst, stroke: Keystroke, limits: BurstLimits = BURST_LIMITS): Step {
  const { run } = burst;
  if (isTail(burst, stroke, limits)) return { burst, verdict: HOLD };
  if (run !== null && (stroke.repeat || stroke.at - run.lastAt > limits.gapMsMax))
    return afresh(run, stroke, limits);
  if (stroke.repeat) return { burst: NO_BURST, verdict: PASS };
  if (END_KEYS.includes(stroke.key) && !stroke.control && !stroke.alt) return end(run, stroke.at, limits);
  if (MODIFIERS.includes(stroke.key)) return modifier(burst, stroke);
  return character(run, stroke, limits);
}

/** No key has come for longer than a burst's gap. */
export function settle({ run }: Burst, limits: BurstLimits = BURST_LIMITS): Step {
  if (run === null) return { burst: NO_BURST, verdict: PASS };
  const quick = isQuick(run, limits);
  if (quick && run.strange !== null && run.count >= STRANGE_FROM) {
    return { burst: { run: null, endedAt: run.lastAt }, verdict: { kind: 'dropped', why: run.strange } };
  }
  const verdict: Verdict =
    quick && run.count >= limits.lengthMin
      ? { kind: 'unended', text: scanned(run), typed: heldBack(run) }
      : { kind: 'given-back', typed: heldBack(run), quick: false };
  return { burst: NO_BURST, verdict };
}

/** The old run is over; the key that showed it begins the next. */
function afresh(run: Run, stroke: Keystroke, limits: BurstLimits): Step {
  const settled = settle({ run, endedAt: null }, limits);
  const next = press(settled.burst, stroke, limits);
  return settled.verdict.kind === 'given-back' && settled.verdict.typed === ''
    ? next
    : { burst: next.burst, verdict: settled.verdict };
}

function end(run: Run | null, at: number, limits: BurstLimits): Step {
  if (run === null) return { burst: NO_BURST, verdict: PASS };
  const settled = settle({ run, endedAt: null }, limits);
  const over: Burst = { run: null, endedAt: at };
  switch (settled.verdict.kind) {
    case 'unended':
      return { burst: over, verdict: { kind: 'scan', text: settled.verdict.text, by: readBy(run) } };
    case 'given-back': {
      const quick = run.count >= 2 && isQuick(run, limits);
      return { burst: quick ? over : NO_BURST, verdict: { ...settled.verdict, quick } };
    }
    default:
      return { burst: over, verdict: settled.verdict };
  }
}

function modifier(burst: Burst, stroke: Keystroke): Step {
  if (burst.run === null) return { burst, verdict: PASS };
  const run = { ...burst.run, lastAt: stroke.at };
  return { burst: { ...burst, run }, verdict: isHolding(run) ? HOLD : PASS };
}

function character(before: Run | null, stroke: Keystroke, limits: BurstLimits): Step {
  const strange = strangeness(stroke);
  const prints = stroke.key.length === 1 || usCharacter(stroke.code, stroke.shift) !== null;
  // A person's arrows, Backspace or Ctrl+C: no run begins with them, and typing ends there.
  if (!prints && (before === null || !isHolding(before))) {
    return before === null ? { burst: NO_BURST, verdict: PASS } : giveUp(before);
  }
  const soFar: Run = before ?? {
    characters: [],
    count: 0,
    startedAt: stroke.at,
    lastAt: stroke.at,
    strange: null,
  };
  const quick = isQuick(soFar, limits) && stroke.at - soFar.lastAt <= limits.averageMsMax;
  const held =
    isHolding(soFar) ||
    (quick && soFar.count >= HOLD_FROM - 1) ||
    (quick && strange !== null && soFar.count > 0);
  const next: Character = { us: usCharacter(stroke.code, stroke.shift), key: stroke.key, held };
  const run: Run = {
    ...soFar,
    characters: soFar.count < KEPT_MAX ? [...soFar.characters, next] : soFar.characters,
    count: soFar.count + 1,
    lastAt: stroke.at,
    strange: soFar.strange ?? strange,
  };
  return { burst: { run, endedAt: null }, verdict: held ? HOLD : PASS };
}

function giveUp(run: Run): Step {
  const typed = heldBack(run);
  return { burst: NO_BURST, verdict: typed === '' ? PASS : { kind: 'given-back', typed, quick: false } };
}

/** A second end key (CR and LF), or a space: within the tail of a burst it would press whatever has the focus. */
function isTail({ run, endedAt }: Burst, { key, at }: Keystroke, { tailMs }: BurstLimits): boolean {
  return (
    run === null && endedAt !== null && at - endedAt <= tailMs && (END_KEYS.includes(key) || key === ' ')
  );
}

/**
 * A scanner sends control characters as Ctrl with a letter or as function keys, and characters outside its
 * layout as Alt with digits of the numpad.
 */
function strangeness({ key, code, alt, control }: Keystroke): Run['strange'] {
  if (alt && !control && /^Numpad[0-9]$/.test(code)) return 'alt-codes';
  const functionKey = key.length > 1 && usCharacter(code, false) === null;
  return alt || control || functionKey ? 'control-keys' : null;
}

function isHolding({ characters }: Run): boolean {
  return characters.at(-1)?.held === true;
}

function isQuick({ count, startedAt, lastAt }: Run, { averageMsMax }: BurstLimits): boolean {
  return lastAt - startedAt <= averageMsMax * Math.max(1, count - 1);
}

function scanned({ characters }: Run): string {
  return characters.map(({ us, key }) => us ?? key).join('');
}

function readBy({ characters }: Run): 'place' | 'layout' {
  return characters.every(({ us }) => us !== null) ? 'place' : 'layout';
}

function heldBack({ characters }: Run): string {
  return characters
    .filter(({ held, key }) => held && key.length === 1)
    .map(({ key }) => key)
    .join('');
}
