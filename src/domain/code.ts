/**
 * What a scanned or typed text is. One pure function decides for the camera, the wedge scanner and the
 * keypad alike, and it never guesses: a code whose check fails is said to be damaged, not mended.
 *
 * A code of ours is a letter for its kind, a serial and an ISO/IEC 7064 MOD 37,36 check character:
 *
 *     P7K4292W               a pair's ticket     P + 6 + check =  8 characters
 *     H… (20 characters)     a hand's badge      H + 18 + check = 20, 84 random bits
 *     W… (12 characters)     a bench's set-up    W + 10 + check = 12, 46 random bits, short-lived
 *     R… (8 characters)      a rack              R + 6 + check =  8 characters
 *
 * A shoe has a tag of its own with the pair's number and a last letter for the shoe: P7K4292WL, P7K4292WR.
 *
 * All of it is drawn from an alphabet without look-alikes: of 0 O Q D only 0 is used, of 1 I L only 1, and
 * so on. The check character may by its nature be any of 0-9A-Z, so serials whose check character would
 * fall outside the alphabet are simply never issued.
 */
import { checkCharacter, checkHolds } from './check-character.ts';
import { asPairId, type PairId } from './ids.ts';
import { ALPHABET, type CodeKind, FORMATS, SHOE_LETTERS } from './own-codes.ts';
import type { OneShoe } from './record/kinds.ts';
import { matchesPattern, type TicketPattern } from './ticket-pattern.ts';

export { ALPHABET, type CodeKind };

/** Characters that are not in the alphabet, and the one that a reader has probably seen. */
const STANDS_FOR: Readonly<Record<string, string>> = {
  O: '0',
  Q: '0',
  D: '0',
  I: '1',
  L: '1',
  Z: '2',
  S: '5',
  G: '6',
  B: '8',
  U: 'V',
};

/** Pairs within the alphabet that are misread on worn print: worth comparing when a check fails. */
const LOOK_ALIKES = [
  '17',
  '38',
  '56',
  '08',
  '69',
  '49',
  '4A',
  'CE',
  'EF',
  'PR',
  'HN',
  'MN',
  'MW',
  'HM',
  'KX',
  'VY',
  'XY',
  '0C',
  '1J',
  '1T',
  '7T',
  '27',
];

/** A longer text than this is no code of anybody's; it is cut before it is shown. */
export const SCAN_LENGTH_MAX = 64;

/** How the text came in. */
export type ScanSource = 'camera' | 'wedge' | 'typed';

/** Position (1-based) and what to compare there: «character 5: is it 3 or 8?». */
export interface Comparison {
  readonly position: number;
  readonly read: string;
  readonly perhaps: string;
}

export type Code =
  | {
      readonly kind: 'ticket';
      readonly pair: PairId;
      readonly checked: boolean;
      /** Which shoe's own tag it is; null for the ticket of the pair. */
      readonly shoe: OneShoe | null;
    }
  | { readonly kind: 'rack'; readonly rack: string }
  | { readonly kind: 'badge'; readonly token: string }
  | { readonly kind: 'bench'; readonly token: string }
  | {
      readonly kind: 'damaged';
      readonly looksLike: CodeKind;
      readonly text: string;
      readonly why: 'check' | 'length' | 'character';
      readonly compare: readonly Comparison[];
    }
  | {
      readonly kind: 'foreign';
      /** Bounded, and without control characters; still to be shown as text only. */
      readonly text: string;
      readonly why: 'empty' | 'too-long' | 'control-characters' | 'not-ours';
    };

/**
 * Says what `text` is.
 * @param source who read it; a camera's text is taken to the letter, any other is folded to upper case (a locked
 *   shift key turns a wedge scanner's letters too) and, for our own codes, freed of blanks and hyphens
 * @param pattern the site's own ticket numbers, where it prints its own; they carry no check character of ours
 */
export function classify(text: string, source: ScanSource, pattern: TicketPattern | null = null): Code {
  const plain = showable(text);
  if (text.length > SCAN_LENGTH_MAX) return { kind: 'foreign', text: plain, why: 'too-long' };
  const taken = source === 'camera' ? text : text.trim().toUpperCase();
  if (taken === '') return { kind: 'foreign', text: '', why: 'empty' };
  if (hasControlCharacters(taken)) return { kind: 'foreign', text: plain, why: 'control-characters' };

  const own = source === 'camera' ? taken : taken.replace(/[\s\-.·]/g, '');
  const read = readOwn(own);
  if (read !== null && read.kind !== 'damaged') return read;
  if (pattern !== null) {
    // A tag of the site's own number says its shoe after a stroke, since any letter may belong to the number.
    const [, number = taken, letter = ''] = /^(.*)\/([LR])$/.exec(taken) ?? [];
    if (matchesPattern(pattern, number)) {
      return { kind: 'ticket', pair: asPairId(number), checked: false, shoe: SHOE_LETTERS[letter] ?? null };
    }
  }
  return read ?? { kind: 'foreign', text: plain, why: 'not-ours' };
}

function readOwn(text: string): Code | null {
  const format = FORMATS.find(({ letter }) => text.startsWith(letter));
  if (format === undefined || !/^[0-9A-Z]+$/.test(text)) return null;
  const { kind, serialLength } = format;
  const damaged = (why: 'check' | 'length' | 'character', compare: readonly Comparison[] = []): Code => ({
    kind: 'damaged',
    looksLike: kind,
    text: showable(text),
    why,
    compare,
  });

  const due = serialLength + 2;
  const shoe = kind === 'ticket' && text.length === due + 1 ? SHOE_LETTERS[text.slice(due)] : undefined;
  const number = text.slice(0, due);
  if (shoe !== undefined && [...number].every((one) => ALPHABET.includes(one)) && checkHolds(number)) {
    return { kind: 'ticket', pair: asPairId(number), checked: true, shoe };
  }
  // A word that merely begins with our letter is foreign; a code one or two characters short is ours, damaged.
  if (Math.abs(text.length - due) > 2) return null;
  if (text.length !== due) return damaged('length');
  const strange = [...text].flatMap((read, index) => {
    if (ALPHABET.includes(read)) return [];
    return [{ position: index + 1, read, perhaps: STANDS_FOR[read] ?? '' }];
  });
  if (strange.length > 0) return damaged('character', strange);
  if (!checkHolds(text)) return damaged('check', comparisons(text));
  switch (kind) {
    case 'ticket':
      return { kind, pair: asPairId(text), checked: true, shoe: null };
    case 'rack':
      return { kind, rack: text };
    case 'badge':
    case 'bench':
      return { kind, token: text };
  }
}

/** The single look-alike swaps that would make the check hold: what to compare, never what to assume. */
function comparisons(text: string): readonly Comparison[] {
  return [...text].flatMap((read, index) =>
    LOOK_ALIKES.filter((twins) => twins.includes(read))
      .map((twins) => twins.replace(read, ''))
      .filter((perhaps) => index > 0 && checkHolds(text.slice(0, index) + perhaps + text.slice(index + 1)))
      .map((perhaps) => ({ position: index + 1, read, perhaps })),
  );
}

/** Serials for one lane (an enrolled tablet or the server), so that two lanes can never issue the same one. */
const LANE_LENGTH = 2;
const COUNTER_LENGTH = 4;
export const LANES = ALPHABET.length ** LANE_LENGTH;
const COUNTERS = ALPHABET.length ** COUNTER_LENGTH;
/** Coprime to 26, near the golden section of the range: neighbours on a rack differ in most places. */
const STRIDE = 282_429;

/**
 * The first ticket that `lane` can issue at or after `counter`, and the counter to go on from.
 * Lanes never meet, so a pair logged with no network has a number that nobody else can give.
 * @param lane 0 to LANES - 1
 * @throws RangeError when the lane or the counter is none, or the lane has issued all its numbers (some 330,000)
 */
export function issueTicket(lane: number, counter: number): { readonly pair: PairId; readonly next: number } {
  if (!Number.isInteger(lane) || lane < 0 || lane >= LANES) throw new RangeError(`no ticket lane ${lane}`);
  if (!Number.isInteger(counter) || counter < 0) throw new RangeError(`no ticket counter ${counter}`);
  for (let at = counter; at < COUNTERS; at += 1) {
    const body = `P${inAlphabet(lane, LANE_LENGTH)}${inAlphabet((at * STRIDE) % COUNTERS, COUNTER_LENGTH)}`;
    const check = checkCharacter(body);
    if (ALPHABET.includes(check)) return { pair: asPairId(body + check), next: at + 1 };
  }
  throw new RangeError(`ticket lane ${lane} is used up`);
}

/**
 * A badge, set-up or rack code from random bytes, or null where its check character is one that is never issued:
 * the caller draws again.
 * @param random at least twice as many uniformly random bytes as the serial has characters
 */
export function issueToken(kind: 'badge' | 'bench' | 'rack', random: Uint8Array): string | null {
  const format = FORMATS.find((candidate) => candidate.kind === kind);
  if (format === undefined) throw new RangeError(`no format for ${kind}`);
  // Bytes of 234 and more are passed over: 234 = 9 × 26, so what is left is uniform over the alphabet.
  const serial = Array.from(random)
    .filter((byte) => byte < 234)
    .slice(0, format.serialLength)
    .map((byte) => ALPHABET.charAt(byte % ALPHABET.length))
    .join('');
  if (serial.length < format.serialLength) return null;
  const body = format.letter + serial;
  const check = checkCharacter(body);
  return ALPHABET.includes(check) ? body + check : null;
}

/** What the tag of one shoe carries. */
export function shoeTag(pair: PairId, shoe: OneShoe, own: boolean): string {
  return `${pair}${own ? '' : '/'}${shoe === 'left' ? 'L' : 'R'}`;
}

/** The code in groups of four, as it is printed, shown and read aloud: `P7K4 292W`. */
export function inGroups(code: string): readonly string[] {
  return code.match(/.{1,4}/gu) ?? [];
}

function inAlphabet(value: number, length: number): string {
  let rest = value;
  let text = '';
  for (let place = 0; place < length; place += 1) {
    text = ALPHABET.charAt(rest % ALPHABET.length) + text;
    rest = Math.floor(rest / ALPHABET.length);
  }
  return text;
}

function hasControlCharacters(text: string): boolean {
  return /\p{Cc}/u.test(text);
}

function showable(text: string): string {
  return text.slice(0, SCAN_LENGTH_MAX).replace(/\p{C}/gu, '�');
}
