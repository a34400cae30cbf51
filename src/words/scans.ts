/** What is said of a scan that cannot be taken, and of a camera that sees nothing. */
import { type CodeKind, type Comparison, inGroups } from '../domain/code.ts';
import type { Refusal } from '../domain/intent.ts';
import { capital, type Line } from './line.ts';

const codeNames: Readonly<Record<CodeKind, string>> = {
  ticket: 'ticket',
  badge: 'badge',
  bench: 'set-up code',
  rack: 'rack code',
};

export function refusalLine(why: Refusal, ask: string): Line {
  switch (why.is) {
    case 'not-set-up':
      return {
        says: 'This tablet has no bench yet',
        next: 'Scan the set-up code first',
      };
    case 'badge-first':
      return {
        says: 'Scan your badge first',
        next:
          why.pair === null
            ? 'Then scan the rack again'
            : `Then scan ticket ${inGroups(why.pair).join(' ')} again`,
      };
    case 'own-badge':
      return { says: 'That is your own badge', next: 'The other hand’s badge is wanted' };
    case 'mixed-pair':
      return {
        says: `Stop: this shoe belongs to ${inGroups(why.tag).join(' ')}`,
        next: `On the bench is ${inGroups(why.card).join(' ')}. Find the twin at once, and stop the rack`,
      };
    case 'unknown-badge':
      return {
        says: 'This badge is not known here',
        next: `Nothing was recorded. Ask ${ask}`,
      };
    case 'foreign':
      return foreignLine(why.code);
    case 'damaged':
      return damagedLine(why.code);
  }
}

function foreignLine(code: Extract<Refusal, { is: 'foreign' }>['code']): Line {
  const says = 'That is no code of ours';
  switch (code.why) {
    case 'empty':
      return { says: 'Nothing was read', next: 'Scan again, or type the code' };
    case 'too-long':
      return { says, next: 'It is far too long. Scan the ticket or a badge' };
    case 'control-characters':
      return { says, next: 'It holds hidden characters. Scan the ticket or a badge' };
    case 'not-ours':
      return { says, next: `It says “${code.text}”. Scan the ticket or a badge` };
  }
}

function damagedLine(code: Extract<Refusal, { is: 'damaged' }>['code']): Line {
  const name = codeNames[code.looksLike];
  const read = inGroups(code.text).join(' ');
  switch (code.why) {
    case 'length':
      return {
        says: `This ${name} is not whole`,
        next: `Read ${read}. Scan it again, or type it in full`,
      };
    case 'character':
      return {
        says: `This ${name} was misread`,
        next: `${capital(code.compare.map(strange).join(', '))}. Read ${read}`,
      };
    case 'check':
      return {
        says: `This ${name} does not check`,
        next:
          code.compare.length === 0
            ? `Read ${read}. Compare it and type it again`
            : `Read ${read}. ${compareLine(code.compare)}`,
      };
  }
}

function strange({ position, read, perhaps }: Comparison): string {
  return perhaps === ''
    ? `no code has ${read} (place ${position})`
    : `no code has ${read}: is place ${position} ${perhaps}`;
}

function compareLine(compare: readonly Comparison[]): string {
  const [first, second] = compare;
  if (first === undefined) return 'Compare it';
  const one = `Is place ${first.position} ${first.read} or ${first.perhaps}?`;
  return second === undefined
    ? one
    : `${one} Or place ${second.position}: ${second.read} or ${second.perhaps}?`;
}

/** What a scan that cannot be taken says, though it is nobody's code. */
export const scannerLines = {
  azerty: {
    says: 'The scanner types for another keyboard',
    next: 'It is set for AZERTY. Nothing was recorded. Ask for it to be set to US English',
  },
  qwertz: {
    says: 'The scanner types for another keyboard',
    next: 'It is set for QWERTZ. Nothing was recorded. Ask for it to be set to US English',
  },
  'scanner-keys': {
    says: 'The scanner sent control keys',
    next: 'Nothing was recorded. Ask for it to be set to send plain characters',
  },
  'scanner-cut-short': {
    says: 'The scan broke off',
    next: 'Nothing was recorded. Scan again. The scanner must end with Enter',
  },
  'several-codes': {
    says: 'More than one code in view',
    next: 'Nothing was recorded. Show one ticket alone',
  },
  'still-in-view': { says: 'This code is still in view', next: 'Take it away, then show it again' },
} satisfies Readonly<Record<string, Line>>;

/** What the camera window says when there is no picture. */
export const cameraLines = {
  off: { says: 'Camera off', next: 'Tap to start it' },
  starting: { says: 'Camera starting', next: '' },
  live: { says: 'Hold the ticket in the frame', next: '' },
  refused: { says: 'The camera is not allowed', next: 'Allow it in the browser, or type the code' },
  none: { says: 'No camera here', next: 'Use a scanner, or type the code' },
  busy: { says: 'Another program has the camera', next: 'Close it, or type the code' },
  lost: { says: 'The camera stopped', next: 'Tap to start it again, or type the code' },
} satisfies Readonly<Record<string, Line>>;
