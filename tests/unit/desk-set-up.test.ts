import { describe, expect, test } from 'vitest';
import { keepingIn, type SetUp, setUpSchema } from '../../src/desk/keeping.ts';
import { codeInHash, readSetUpCode } from '../../src/desk/set-up-code.ts';
import { siteFactsSchema } from '../../src/desk/site-facts.ts';
import { issueToken } from '../../src/domain/code.ts';

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

const SET_UP: SetUp = setUpSchema.parse({
  site: 'aldermoor',
  dataset: 'aldermoor-1',
  desk: 'desk-1',
  name: 'Office desk',
  key: '0f'.repeat(32),
  facts: { name: 'Aldermoor Bench', timeZone: 'Europe/London', closingStage: 'BOX', version: 3 },
});

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

describe('what the desk keeps', () => {
  test('comes back as it was, and holds no more than it must', () => {
    const storage = memory();
    const keeping = keepingIn(() => storage);
    expect(keeping.write(SET_UP)).toBe(true);
    expect(keeping.read()).toEqual(SET_UP);
    expect([...storage.held.values()].join()).not.toMatch(/operatives|badges/);
  });

  test.each([
    ['nothing', undefined],
    ['no JSON', '{'],
    ['a key that is none', JSON.stringify({ ...SET_UP, key: 'x' })],
    [
      'a time zone that does not exist',
      JSON.stringify({ ...SET_UP, facts: { ...SET_UP.facts, timeZone: 'Moor/Bench' } }),
    ],
  ])('is not believed when it is %s', (_, text) => {
    const storage = memory();
    if (text !== undefined) storage.held.set('waxend-desk', text);
    expect(keepingIn(() => storage).read()).toBeNull();
  });

  test('is known to be lost before a code is spent, where storage is forbidden or full', () => {
    const forbidden = keepingIn(() => {
      throw new DOMException('denied', 'SecurityError');
    });
    expect([forbidden.keeps(), forbidden.read(), forbidden.write(SET_UP)]).toEqual([false, null, false]);
    const full = {
      ...memory(),
      setItem: () => {
        throw new DOMException('full', 'QuotaExceededError');
      },
    };
    expect(keepingIn(() => full).keeps()).toBe(false);
  });

  test('is tried without leaving anything behind', () => {
    const storage = memory();
    expect(keepingIn(() => storage).keeps()).toBe(true);
    expect(storage.held.size).toBe(0);
  });
});

test('facts of a site have a zone that this machine knows', () => {
  // Zone names: IANA time zone database.
  expect(siteFactsSchema.safeParse({ ...SET_UP.facts, timeZone: 'Asia/Kolkata' }).success).toBe(true);
  expect(siteFactsSchema.safeParse({ ...SET_UP.facts, timeZone: 'Kolkata' }).success).toBe(false);
});
