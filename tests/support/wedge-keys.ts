/** The key events of a scanner that acts as a keyboard, for CDP's `Input.dispatchKeyEvent`. */
import type { CDPSession } from 'playwright/test';

export interface Key {
  readonly key: string;
  readonly code: string;
  readonly windowsVirtualKeyCode: number;
  /** What it types; none for keys that print nothing. */
  readonly text?: string;
  /** Chromium's bits: 1 Alt, 2 Ctrl, 8 Shift. */
  readonly modifiers?: number;
}

const ENTER: Key = { key: 'Enter', code: 'Enter', windowsVirtualKeyCode: 13, text: '\r' };
const CONTROL = 2;
const SHIFT = 8;

/** Group separator, as a scanner on a GS1 code sends it: Ctrl with the bracket. */
export const CONTROL_BRACKET: Key = {
  key: ']',
  code: 'BracketRight',
  windowsVirtualKeyCode: 221,
  modifiers: CONTROL,
};

/** Letters and digits on a US keyboard, capitals with Shift, and the end key. */
export function keysOf(text: string): readonly Key[] {
  return [...[...text].map(keyOf), ENTER];
}

export function keyOf(character: string): Key {
  if (/[0-9]/.test(character)) return printing(character, `Digit${character}`);
  if (/[a-z]/.test(character)) return printing(character, `Key${character.toUpperCase()}`);
  if (/[A-Z]/.test(character)) return { ...printing(character, `Key${character}`), modifiers: SHIFT };
  throw new RangeError(`no key is known for ${character}`);
}

function printing(character: string, code: string): Key {
  return {
    key: character,
    code,
    windowsVirtualKeyCode: character.toUpperCase().charCodeAt(0),
    text: character,
  };
}

/** Between two events of a scanner's keys. */
const PACE_SECONDS = 0.004;

/**
 * One after the other without waiting, and each with the moment at which a scanner would have sent it: a busy machine
 * must not slow them to a person's pace.
 */
export async function sendKeys(session: CDPSession, keys: readonly Key[]): Promise<void> {
  const events = keys.flatMap(({ text, ...key }) => [
    text === undefined ? { type: 'rawKeyDown' as const, ...key } : { type: 'keyDown' as const, ...key, text },
    { type: 'keyUp' as const, ...key },
  ]);
  const from = Date.now() / 1000;
  await Promise.all(
    events.map((event, index) =>
      session.send('Input.dispatchKeyEvent', { ...event, timestamp: from + index * PACE_SECONDS }),
    ),
  );
}
