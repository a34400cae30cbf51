import { mod37_36 } from 'cdigit';
import { describe, expect, test } from 'vitest';
import { checkHolds } from '../../src/domain/check-character.ts';
import {
  ALPHABET,
  type Code,
  classify,
  inGroups,
  issueTicket,
  issueToken,
  LANES,
  SCAN_LENGTH_MAX,
  type ScanSource,
  shoeTag,
} from '../../src/domain/code.ts';
import { asPairId } from '../../src/domain/ids.ts';
import { ticketPatternSchema } from '../../src/domain/ticket-pattern.ts';

const TICKET = 'P7K4292W';
const BADGE = 'H789ACEFHJKMNPRTVWX8';
const SET_UP = 'W4V7N3HYAT66';
const RACK = 'R07HT295';

/** The answer in a few words, so that a row can be read. */
function said(code: Code): string {
  switch (code.kind) {
    case 'ticket': {
      const ticket = code.checked ? `ticket ${code.pair}` : `ticket ${code.pair}, not checked`;
      return code.shoe === null ? ticket : `${ticket}, ${code.shoe} shoe`;
    }
    case 'rack':
      return `rack ${code.rack}`;
    case 'badge':
    case 'bench':
      return `${code.kind} ${code.token}`;
    case 'damaged':
      return `damaged ${code.looksLike}: ${code.why}`;
    case 'foreign':
      return `foreign: ${code.why}`;
  }
}

describe('what a text is', () => {
  test.each<[string, ScanSource, string]>([
    // As printed
    [TICKET, 'camera', `ticket ${TICKET}`],
    [BADGE, 'camera', `badge ${BADGE}`],
    [SET_UP, 'camera', `bench ${SET_UP}`],
    [`${TICKET}\r\n`, 'wedge', `ticket ${TICKET}`],
    [`\t${BADGE}\r`, 'wedge', `badge ${BADGE}`],
    // A wedge scanner behind a locked shift key
    ['p7k4292w', 'wedge', `ticket ${TICKET}`],
    // As typed
    ['P7K4 292W', 'typed', `ticket ${TICKET}`],
    ['p7k4 292w', 'typed', `ticket ${TICKET}`],
    ['p7k4-292w', 'typed', `ticket ${TICKET}`],
    [' p 7 k 4 . 2 9 2 w ', 'typed', `ticket ${TICKET}`],
    // A camera's text is taken to the letter
    ['p7k4292w', 'camera', 'foreign: not-ours'],
    ['P7K4 292W', 'camera', 'foreign: not-ours'],
    [` ${TICKET}`, 'camera', 'foreign: not-ours'],
    [`${TICKET}\r`, 'camera', 'foreign: control-characters'],
    // Ours, but something is wrong with it
    ['P7K4292M', 'camera', 'damaged ticket: check'],
    ['P7K4292', 'camera', 'damaged ticket: length'],
    ['P7K429', 'camera', 'damaged ticket: length'],
    ['P7K4292WW', 'camera', 'damaged ticket: length'],
    // The tags of the two shoes
    [`${TICKET}L`, 'camera', `ticket ${TICKET}, left shoe`],
    [`${TICKET}R`, 'camera', `ticket ${TICKET}, right shoe`],
    ['p7k4292wr', 'wedge', `ticket ${TICKET}, right shoe`],
    ['p7k4 292w-l', 'typed', `ticket ${TICKET}, left shoe`],
    ['p7k4292wl', 'camera', 'foreign: not-ours'],
    // The check is the number's own: a tag whose number is wrong is no tag of another pair.
    ['P7K4292ML', 'camera', 'damaged ticket: length'],
    ['P7K42O2WR', 'camera', 'damaged ticket: length'],
    [`${TICKET}LR`, 'camera', 'damaged ticket: length'],
    [`${TICKET}/L`, 'camera', 'foreign: not-ours'],
    [`${TICKET}l`, 'camera', 'foreign: not-ours'],
    // A rack
    [RACK, 'camera', `rack ${RACK}`],
    ['r07h t295', 'typed', `rack ${RACK}`],
    ['R07HT296', 'camera', 'damaged rack: check'],
    ['R07HT29', 'camera', 'damaged rack: length'],
    [`${RACK}L`, 'camera', 'damaged rack: length'],
    ['R07HT2S5', 'wedge', 'damaged rack: character'],
    ['RACK', 'typed', 'foreign: not-ours'],
    ['P7K42O2W', 'camera', 'damaged ticket: character'],
    ['p7k42o2w', 'typed', 'damaged ticket: character'],
    [BADGE.replace('8', '3'), 'wedge', 'damaged badge: check'],
    [BADGE.slice(0, -2), 'wedge', 'damaged badge: length'],
    [SET_UP.replace('4', '5'), 'typed', 'damaged bench: check'],
    // Words and other people's codes that begin with our letters
    ['PAIR', 'typed', 'foreign: not-ours'],
    ['HEEL', 'typed', 'foreign: not-ours'],
    ['WELT SEWING 12 MM', 'camera', 'foreign: not-ours'],
    ['PACKINGSLIP', 'camera', 'foreign: not-ours'],
    ['P7K4292Ä', 'typed', 'foreign: not-ours'],
    // Foreign
    ['5012345678900', 'camera', 'foreign: not-ours'],
    ['https://example.org/P7K4292W', 'camera', 'foreign: not-ours'],
    ['', 'camera', 'foreign: empty'],
    [' \r\n', 'wedge', 'foreign: empty'],
    ['P7K4\u0000292W', 'wedge', 'foreign: control-characters'],
    ['P7K4\u001d292W', 'camera', 'foreign: control-characters'],
    ['P7K4\u0085292W', 'typed', 'foreign: control-characters'],
    [TICKET.repeat(9), 'camera', 'foreign: too-long'],
    [`${TICKET}${' '.repeat(SCAN_LENGTH_MAX)}`, 'wedge', 'foreign: too-long'],
    ['\ud83d', 'camera', 'foreign: not-ours'],
  ])('%j by %s is %s', (text, source, expected) => {
    expect(said(classify(text, source))).toBe(expected);
  });

  test('what is shown of a strange text is short and has no invisible character', () => {
    const shown = (text: string) => {
      const code = classify(text, 'camera');
      return code.kind === 'foreign' ? code.text : code;
    };
    expect(shown('a\u202eb\u200bc\u0007d\ud800')).toBe('a�b�c�d�');
    expect(shown('€'.repeat(5000))).toBe('€'.repeat(SCAN_LENGTH_MAX));
    // Cut in the middle of a character
    expect(shown(`${'a'.repeat(SCAN_LENGTH_MAX - 1)}😀`)).toBe(`${'a'.repeat(SCAN_LENGTH_MAX - 1)}�`);
  });
});

describe('at a site with ticket numbers of its own', () => {
  test.each<[string, string, ScanSource, string]>([
    ['R-#####', 'R-00412', 'camera', 'ticket R-00412, not checked'],
    ['R-#####', 'r-00412', 'typed', 'ticket R-00412, not checked'],
    ['R-#####', 'r-00412\r', 'wedge', 'ticket R-00412, not checked'],
    ['R-#####', 'r-00412', 'camera', 'foreign: not-ours'],
    // The site's hyphen belongs to the number, so it is not passed over.
    ['J-#####', 'J00412', 'typed', 'foreign: not-ours'],
    ['R-#####', 'R00412', 'typed', 'damaged rack: length'],
    ['R-#####', 'R-0041', 'camera', 'foreign: not-ours'],
    // Ours go on being read, with their check.
    ['R-#####', TICKET, 'camera', `ticket ${TICKET}`],
    ['R-#####', 'P7K4292M', 'camera', 'damaged ticket: check'],
    // The tag of one shoe says it after a stroke.
    ['R-#####', 'R-00412/L', 'camera', 'ticket R-00412, not checked, left shoe'],
    ['R-#####', 'r-00412/r', 'typed', 'ticket R-00412, not checked, right shoe'],
    ['R-#####', 'R-00412L', 'camera', 'foreign: not-ours'],
    ['R-#####', 'R-00412/M', 'camera', 'foreign: not-ours'],
    ['R-#####', 'R-00412/L/R', 'camera', 'foreign: not-ours'],
    ['R-#####', `${TICKET}L`, 'camera', `ticket ${TICKET}, left shoe`],
    ['##/####', '12/3456/R', 'camera', 'ticket 12/3456, not checked, right shoe'],
    // A site whose numbers look like ours: checked where the check holds, taken as the site's where not.
    ['P@@@@@@@', 'PACEFHJK', 'camera', 'ticket PACEFHJK, not checked'],
    ['????????', TICKET, 'camera', `ticket ${TICKET}`],
  ])('%s: %j by %s is %s', (shape, text, source, expected) => {
    expect(said(classify(text, source, ticketPatternSchema.parse(shape)))).toBe(expected);
  });
});

describe('what to compare on a damaged code', () => {
  const compared = (text: string) => {
    const code = classify(text, 'typed');
    return code.kind === 'damaged' ? code.compare : [];
  };

  test('a letter that no code of ours has names the one that is meant', () => {
    expect(compared('P7K42G2W')).toEqual([{ position: 6, read: 'G', perhaps: '6' }]);
    expect(compared('PO000O0J')).toEqual([
      { position: 2, read: 'O', perhaps: '0' },
      { position: 6, read: 'O', perhaps: '0' },
    ]);
  });

  test('every letter outside the alphabet has one that it stands for', () => {
    const outside = [...'ABCDEFGHIJKLMNOPQRSTUVWXYZ'].filter((letter) => !ALPHABET.includes(letter));
    for (const letter of outside) {
      const [only] = compared(`P7K42${letter}2W`);
      expect(ALPHABET, letter).toContain(only?.perhaps || 'nothing');
    }
    expect(outside.join('')).toBe('BDGILOQSUZ');
  });

  test.each([
    ['P1K4292W', 2, '1', '7'],
    ['P7X4292W', 3, 'X', 'K'],
    ['P7K9292W', 4, '9', '4'],
    ['P7KA292W', 4, 'A', '4'],
    ['P7K4792W', 5, '7', '2'],
    ['P7K4292M', 8, 'M', 'W'],
  ])(
    `%s, which is ${TICKET} misread: character %d, read as %s, may be %s`,
    (text, position, read, perhaps) => {
      expect(compared(text)).toContainEqual({ position, read, perhaps });
    },
  );

  test('nothing is offered where no single look-alike would mend it', () => {
    expect(compared('P7K429EE')).toEqual([]);
    expect(compared('P7K4292')).toEqual([]);
  });
});

describe('tickets of a lane', () => {
  test('are as many as are promised, all different, all in the lane and all readable', {
    timeout: 30_000,
  }, () => {
    const issued = new Set<string>();
    const serial = new RegExp(`^P08[${ALPHABET}]{5}$`);
    let next = 0;
    for (;;) {
      let ticket: ReturnType<typeof issueTicket>;
      try {
        ticket = issueTicket(8, next);
      } catch {
        break;
      }
      if (!serial.test(ticket.pair) || !checkHolds(ticket.pair)) throw new Error(`bad ticket ${ticket.pair}`);
      issued.add(ticket.pair);
      next = ticket.next;
    }
    // 26 of 36 check characters are issued, so about 26⁴ × 26/36 = 330,038.
    expect(Math.abs(issued.size - 330_038)).toBeLessThan(50);
    expect(() => issueTicket(8, next)).toThrow('ticket lane 8 is used up');
  });

  test('that follow each other differ in at least three places', () => {
    let next = 0;
    let last = '';
    for (let count = 0; count < 2000; count += 1) {
      const ticket = issueTicket(8, next);
      const differing = [...ticket.pair.slice(3, 7)].filter(
        (character, index) => character !== last[index + 3],
      );
      if (last !== '') expect(differing.length, `${last} ${ticket.pair}`).toBeGreaterThanOrEqual(3);
      last = ticket.pair;
      next = ticket.next;
    }
  });

  test.each([-1, LANES, 0.5, Number.NaN])('there is no lane %d', (lane) => {
    expect(() => issueTicket(lane, 0)).toThrow(`no ticket lane ${lane}`);
  });

  test.each([-1, 0.5, Number.NaN])('there is no counter %d', (counter) => {
    expect(() => issueTicket(0, counter)).toThrow(`no ticket counter ${counter}`);
  });
});

describe('a badge, set-up or rack code', () => {
  const bytes = (first: number) =>
    Uint8Array.from({ length: 36 }, (_, index) => (index === 0 ? first : index * 3));

  test('is what its random bytes say', () => {
    const serial = '0'.repeat(18);
    expect(issueToken('badge', new Uint8Array(36))).toBe(`H${serial}${mod37_36.compute(`H${serial}`)}`);
  });

  test('of a rack is six random characters, read as that rack', () => {
    const tries = Array.from({ length: 60 }, (_, first) => issueToken('rack', bytes(first * 4)));
    const racks = tries.filter((token) => token !== null);
    expect(racks.length).toBeGreaterThan(20);
    for (const rack of racks) {
      expect(mod37_36.validate(rack)).toBe(true);
      expect(classify(rack, 'camera')).toEqual({ kind: 'rack', rack });
    }
  });

  test('is none where the bytes run out, or where its check character would be a look-alike', () => {
    expect(issueToken('badge', new Uint8Array(17))).toBeNull();
    expect(issueToken('bench', new Uint8Array(36).fill(255))).toBeNull();
    const tries = Array.from({ length: 26 }, (_, first) => issueToken('bench', bytes(first)));
    expect(tries).toContain(null);
    expect(tries.filter((token) => token !== null).length).toBeGreaterThan(10);
  });
});

describe('a tag', () => {
  const issued = Array.from({ length: 2000 }, (_, at) => issueTicket(at % LANES, at * 163).pair);

  test.each(['left', 'right'] as const)(
    'of the %s shoe reads as that shoe of its pair and as nothing else',
    (shoe) => {
      for (const pair of issued) {
        const tag = shoeTag(pair, shoe, true);
        expect(classify(tag, 'camera')).toEqual({ kind: 'ticket', pair, checked: true, shoe });
        // No other kind of ours has its length, and none of the others holds an L.
        expect(tag).toMatch(/^P.{7}[LR]$/);
      }
    },
  );

  test('of a site’s own number says the shoe apart from the number', () => {
    const pair = asPairId('R-00412');
    expect(shoeTag(pair, 'left', false)).toBe('R-00412/L');
    expect(shoeTag(pair, 'right', false)).toBe('R-00412/R');
  });

  test('with one character changed is never the tag or ticket of another pair', () => {
    for (const pair of issued.slice(0, 60)) {
      const tag = shoeTag(pair, 'left', true);
      for (let at = 0; at < 8; at += 1) {
        for (const other of ALPHABET) {
          const misread = tag.slice(0, at) + other + tag.slice(at + 1);
          if (misread !== tag) expect(classify(misread, 'camera').kind, misread).not.toBe('ticket');
        }
      }
    }
  });
});

test('a code is shown in groups of four', () => {
  expect(inGroups(TICKET)).toEqual(['P7K4', '292W']);
  expect(inGroups(BADGE)).toEqual(['H789', 'ACEF', 'HJKM', 'NPRT', 'VWX8']);
  expect(inGroups('R-00412')).toEqual(['R-00', '412']);
  expect(inGroups('')).toEqual([]);
});
