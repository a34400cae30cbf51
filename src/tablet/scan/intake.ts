/**
 * What comes of everything that is read, from whichever side: the acceptance of the camera's readings and the
 * guard against repeats, put together. Pure; the time comes in.
 */
import { type Code, classify, type ScanSource, shoeTag } from '../../domain/code.ts';
import type { TicketPattern } from '../../domain/ticket-pattern.ts';
import { type Acceptance, accept, NOTHING_READ } from './acceptance.ts';
import type { Reading, SymbolKind } from './decoder.ts';
import { layoutHint, type StrayLayout } from './layout-hint.ts';
import {
  type Guard,
  isHeld,
  look,
  NOTHING_HELD,
  takeByHand,
  takeInView,
  takenJustNow,
} from './repeat-guard.ts';

export interface Intake {
  readonly guard: Guard;
  readonly acceptance: Acceptance;
}

/** Stands in the guard for «more than one code in view»; no code of ours or of a site's is written so. */
const SEVERAL = '\n';

export const NOTHING_TAKEN_IN: Intake = { guard: NOTHING_HELD, acceptance: NOTHING_READ };

export type Heard =
  /** A text to be classified and acted on: it may be damaged or foreign. `symbol` is known from the camera only. */
  | {
      readonly kind: 'scan';
      readonly text: string;
      readonly source: ScanSource;
      readonly symbol: SymbolKind | null;
    }
  /** More than one code could be meant: show one. Nothing was taken. */
  | { readonly kind: 'several'; readonly texts: readonly string[] }
  /** A code taken earlier lies in view still (or again) after the camera was off: take it away, then show it. */
  | { readonly kind: 'still-in-view'; readonly text: string }
  /** The wedge read the same code again at once: taken the first time only. */
  | { readonly kind: 'repeat'; readonly text: string }
  /** The wedge scanner and the tablet differ in their keyboard layout: set the scanner to US. Nothing was taken. */
  | { readonly kind: 'layout'; readonly layout: StrayLayout; readonly text: string };

export interface Taken {
  readonly intake: Intake;
  readonly heard: readonly Heard[];
}

export interface IntakeRules {
  readonly pattern: TicketPattern | null;
  /** The shortest time between two takings of one code, ms. */
  readonly pauseMs: number;
}

/** One picture's readings; to be called for every picture, also for those that held none. */
export function fromCamera(
  { guard, acceptance }: Intake,
  readings: readonly Reading[],
  at: number,
  { pattern, pauseMs }: IntakeRules,
): Taken {
  const texts = readings.map(({ text }) => text);
  const inView = new Set(texts).size > 1 ? [...texts, SEVERAL] : texts;
  const { guard: guardNow, stillInView } = look(guard, at, inView, pauseMs);
  const heard: Heard[] = stillInView
    .filter((text) => isGood(text, 'camera', pattern))
    .map((text) => ({ kind: 'still-in-view', text }));

  const next = accept(acceptance, { at, readings, pattern, isHeld: (text) => isHeld(guardNow, text) });
  const { accepted } = next;
  switch (accepted.kind) {
    case 'nothing':
      return { intake: { guard: guardNow, acceptance: next.acceptance }, heard };
    case 'several':
      // Said once, like a code: again only after they have left the view.
      if (!isHeld(guardNow, SEVERAL)) heard.push(accepted);
      return { intake: { guard: takeInView(guardNow, SEVERAL, at), acceptance: next.acceptance }, heard };
    case 'taken': {
      const { text, symbol } = accepted.reading;
      heard.push({ kind: 'scan', text, source: 'camera', symbol });
      return { intake: { guard: takeInView(guardNow, text, at), acceptance: next.acceptance }, heard };
    }
  }
}

/** A text from the wedge or the keypad (or pasted): deliberate, so it waits for no second reading. */
export function fromHand(
  { guard, acceptance }: Intake,
  text: string,
  source: 'wedge' | 'typed',
  at: number,
  { pattern, pauseMs }: IntakeRules,
): Taken {
  const code = classify(text, source, pattern);
  if (code.kind === 'damaged' || code.kind === 'foreign') {
    const layout = source === 'wedge' ? layoutHint(text) : null;
    const what: Heard =
      layout === null ? { kind: 'scan', text, source, symbol: null } : { kind: 'layout', layout, text };
    return { intake: { guard, acceptance }, heard: [what] };
  }
  // As the camera would read it: the guard knows a code by one name.
  const plain = plainOf(code);
  if (source === 'wedge' && takenJustNow(guard, plain, at, pauseMs)) {
    return { intake: { guard, acceptance }, heard: [{ kind: 'repeat', text: plain }] };
  }
  const intake = { guard: takeByHand(guard, plain, at), acceptance };
  return { intake, heard: [{ kind: 'scan', text, source, symbol: null }] };
}

/** The text that a camera reads of the same code. */
function plainOf(code: Exclude<Code, { kind: 'damaged' | 'foreign' }>): string {
  switch (code.kind) {
    case 'ticket':
      return code.shoe === null ? code.pair : shoeTag(code.pair, code.shoe, code.checked);
    case 'rack':
      return code.rack;
    default:
      return code.token;
  }
}

function isGood(text: string, source: ScanSource, pattern: TicketPattern | null): boolean {
  const { kind } = classify(text, source, pattern);
  return kind !== 'damaged' && kind !== 'foreign';
}
