/**
 * A scanner that acts as a keyboard. It is heard whatever has the focus, by one listener in the capture phase, so
 * there is no hidden field that steals the focus and none of its keys types into a field or presses a button.
 *
 * What cannot be stopped: the first three keys of a burst (they could be typing) and a Ctrl shortcut that comes
 * first of all. The three are undone in the field they went to. Shortcuts are for the scanner's set-up (no
 * control characters, no function keys) and the tablet's kiosk mode to prevent.
 */
import { classify } from '../../domain/code.ts';
import {
  BURST_LIMITS,
  type BurstLimits,
  type Keystroke,
  NO_BURST,
  press,
  settle,
  type Verdict,
} from './burst.ts';
import { type FieldBefore, noteField, restoreField, takesText, typeInto } from './typed-field.ts';

/** Beyond the longest gap of a burst: keys may be waiting in the page's queue behind slow work. */
const SETTLE_SLACK_MS = 50;

export type WedgeDrop = 'control-keys' | 'alt-codes' | 'no-end-key' | 'too-short';

export interface WedgeOptions {
  /** `by` says whether each key told its place, so that the tablet's layout did not matter. */
  readonly onText: (text: string, by: 'place' | 'layout') => void;
  /** A burst came and was not taken. */
  readonly onDropped: (why: WedgeDrop) => void;
  /** Asked for at each key: a site's own tickets may be shorter than ours. */
  readonly limits?: () => BurstLimits;
}

export interface Wedge {
  stop(): void;
}

/** Starts listening on this window. */
export function openWedge(options: WedgeOptions): Wedge {
  return new KeyListener(options);
}

class KeyListener implements Wedge {
  readonly #options: WedgeOptions;
  #burst = NO_BURST;
  #fields: FieldBefore[] = [];
  #settleTimer: ReturnType<typeof setTimeout> | undefined;

  constructor(options: WedgeOptions) {
    this.#options = options;
    window.addEventListener('keydown', this.#onKey, { capture: true });
  }

  stop(): void {
    window.removeEventListener('keydown', this.#onKey, { capture: true });
    clearTimeout(this.#settleTimer);
    this.#burst = NO_BURST;
  }

  readonly #onKey = (event: KeyboardEvent): void => {
    // A composing keyboard is a person's.
    if (event.isComposing) return;
    clearTimeout(this.#settleTimer);
    const limits = this.#limits();
    const runBefore = this.#burst.run?.startedAt;
    const { burst, verdict } = press(this.#burst, asKeystroke(event), limits);
    this.#burst = burst;
    if (this.#act(verdict, document.activeElement)) {
      event.preventDefault();
      event.stopImmediatePropagation();
    }
    if (burst.run === null) {
      this.#fields = [];
      return;
    }
    if (burst.run.startedAt !== runBefore) this.#fields = [];
    this.#noteFocus();
    this.#settleTimer = setTimeout(this.#onPause, limits.gapMsMax + SETTLE_SLACK_MS);
  };

  readonly #onPause = (): void => {
    const { burst, verdict } = settle(this.#burst, this.#limits());
    this.#burst = burst;
    this.#act(verdict, document.activeElement);
    this.#fields = [];
  };

  /** Does what the verdict asks for, and says whether the present key is to do nothing. */
  #act(verdict: Verdict, focus: Element | null): boolean {
    switch (verdict.kind) {
      case 'pass':
        return false;
      case 'hold':
        return true;
      case 'given-back':
        typeInto(focus, verdict.typed);
        // Nobody types letters on a button: what came so fast was a scanner, and its Enter must not press it.
        if (!verdict.quick || takesText(focus)) return false;
        this.#options.onDropped('too-short');
        return true;
      case 'scan':
        this.#undo();
        this.#options.onText(verdict.text, verdict.by);
        return true;
      case 'unended':
        if (isOurs(verdict.text)) {
          this.#undo();
          this.#options.onDropped('no-end-key');
        } else typeInto(focus, verdict.typed);
        return false;
      case 'dropped':
        this.#undo();
        this.#options.onDropped(verdict.why);
        return true;
    }
  }

  /** The present key has not reached its field yet, so this is how the field stood before it. */
  #noteFocus(): void {
    const now = noteField(document.activeElement);
    if (now !== null && !this.#fields.some(({ field }) => field === now.field)) this.#fields.push(now);
  }

  #undo(): void {
    for (const field of this.#fields) restoreField(field);
  }

  #limits(): BurstLimits {
    return this.#options.limits?.() ?? BURST_LIMITS;
  }
}

function asKeystroke(event: KeyboardEvent): Keystroke {
  const { code, key, shiftKey, altKey, ctrlKey, metaKey, repeat, timeStamp } = event;
  // Some scanners send capitals without pressing Shift; with Caps Lock on, a capital says nothing.
  const shift = shiftKey || (/^[A-Z]$/.test(key) && !event.getModifierState('CapsLock'));
  return { code, key, shift, alt: altKey, control: ctrlKey || metaKey, repeat, at: timeStamp };
}

function isOurs(text: string): boolean {
  const { kind } = classify(text, 'wedge');
  return kind !== 'damaged' && kind !== 'foreign';
}
