import { describe, expect, test } from 'vitest';
import { pageAt } from '../../src/desk/address.ts';
import { Slots } from '../../src/desk/desk-store.ts';
import { setUpOf } from '../../src/desk/set-up.ts';
import { codeInHash, readSetUpCode } from '../../src/desk/set-up-code.ts';
import { issueToken } from '../../src/domain/code.ts';
import { DESK, MONDAY_8, SITE, siteBook } from '../support/builders.ts';

/** The first code that the domain would issue from running bytes. */
function aCode(): string {
  for (let from = 0; from < 26; from += 1) {
    const code = issueToken(
      'bench',
      Uint8Array.from({ length: 20 }, (_, index) => from + index * 7),
    );
    if (code !== null) return code;
  }
  throw new Error('no code could be issued');
}

function memory(): Pick<Storage, 'getItem' | 'setItem' | 'removeItem'> & { held: Map<string, string> } {
  const held = new Map<string, string>();
  return {
    held,
    getItem: (slot) => held.get(slot) ?? null,
    setItem: (slot, text) => void held.set(slot, text),
    removeItem: (slot) => void held.delete(slot),
  };
}

describe('a set-up code', () => {
  test('is taken as a person types it', () => {
    const code = aCode();
    const typed = ` ${code.slice(0, 4).toLowerCase()} ${code.slice(4, 8)}-${code.slice(8)} `;
    expect(readSetUpCode(typed)).toEqual({ is: 'code', token: code });
  });

  test('is never mended', () => {
    const code = aCode();
    const slipped = code.slice(0, 5) + (code[5] === '3' ? '8' : '3') + code.slice(6);
    expect(readSetUpCode(slipped).is).toBe('other');
  });

  test.each([
    ['#setup=W123', 'W123'],
    ['#a=b&setup=W1%20%202', 'W1  2'],
    ['#setup=', null],
    ['#setup', null],
    ['#other=W123', null],
    ['', null],
    ['#setup=%E0%A4%A', '\uFFFD%A'],
  ])('in the address %s is %s', (hash, code) => {
    expect(codeInHash(hash)).toBe(code);
  });
});

describe('what the desk keeps beside its ledger', () => {
  test('comes back as it was, and null forgets it', () => {
    const slots = new Slots(() => storage);
    const storage = memory();
    expect(slots.write('one', { a: [1, 'ß'] })).toBe(true);
    expect(slots.read('one')).toEqual({ a: [1, 'ß'] });
    expect(slots.write('one', null)).toBe(true);
    expect([slots.read('one'), storage.held.size]).toEqual([null, 0]);
  });

  test('is nothing where it is no JSON, and is said not to be kept where storage is forbidden or full', () => {
    const storage = memory();
    storage.held.set('one', '{');
    expect(new Slots(() => storage).read('one')).toBeNull();
    const forbidden = new Slots(() => {
      throw new DOMException('denied', 'SecurityError');
    });
    expect([forbidden.read('one'), forbidden.write('one', 1), forbidden.oldDesk]).toEqual([
      null,
      false,
      false,
    ]);
    const full = new Slots(() => ({
      ...memory(),
      setItem: () => {
        throw new DOMException('full', 'QuotaExceededError');
      },
    }));
    expect(full.write('one', 1)).toBe(false);
  });

  test('tells of a desk that was set up before desks had a ledger, until it is forgotten', () => {
    const storage = memory();
    // As the version before wrote it.
    storage.held.set(
      'waxend-desk',
      JSON.stringify({ site: 'aldermoor', desk: 'desk-1', key: '0f'.repeat(32) }),
    );
    const slots = new Slots(() => storage);
    expect(slots.oldDesk).toBe(true);
    slots.forgetOldDesk();
    expect(slots.oldDesk).toBe(false);
  });

  test('knows when the server was reached, and believes no nonsense', () => {
    const storage = memory();
    const slots = new Slots(() => storage);
    expect(slots.reached).toBeNull();
    slots.noteReached(MONDAY_8);
    expect(new Slots(() => storage).reached).toBe(MONDAY_8);
    storage.held.set('waxend-desk-reached', '"yesterday"');
    expect(slots.reached).toBeNull();
  });
});

describe('who the desk is', () => {
  const ENROLMENT = {
    site: SITE,
    dataset: 'aldermoor-1',
    bench: DESK,
    place: 'desk',
    name: 'Office desk',
    key: '0f'.repeat(32),
    lane: 4,
  } as const;

  test('comes from its ledger', () => {
    const { site, dataset, name, key } = ENROLMENT;
    const { name: siteName, timeZone, closingStage, version } = siteBook();
    expect(setUpOf(ENROLMENT, siteBook())).toEqual({
      site,
      dataset,
      desk: DESK,
      name,
      key,
      facts: { name: siteName, timeZone, closingStage, version },
    });
  });

  test('is nobody where this machine does not know the site’s zone', () => {
    // Zone names: IANA time zone database.
    expect(setUpOf(ENROLMENT, siteBook({ timeZone: 'Asia/Kolkata' }))).not.toBeNull();
    expect(setUpOf(ENROLMENT, siteBook({ timeZone: 'Kolkata' }))).toBeNull();
  });
});

test.each([
  ['/desk', 'now'],
  ['/desk/', 'now'],
  ['/desk/log', 'log'],
  ['/desk/where/P7K4292W', 'where'],
  ['/desk/site/routes', 'site'],
  ['/desk/sites', 'now'],
  ['/desk/elsewhere', 'now'],
])('the address %s is the page %s', (address, page) => {
  expect(pageAt(address)).toBe(page);
});
