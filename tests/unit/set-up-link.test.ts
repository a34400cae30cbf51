import { describe, expect, test } from 'vitest';
import { ticketInHand } from '../../src/desk/logging/ticket-in-hand.ts';
import { asPairId, asRecordId } from '../../src/domain/ids.ts';
import { mayFollowSetUpLink, setUpCodeIn } from '../../src/tablet/set-up-link.ts';
import { INES, MONDAY_8, WLT } from '../support/builders.ts';

const on = { id: INES, name: 'Ines Okafor' };
const open = [
  {
    spell: asRecordId('019a4b2c-0000-7000-8000-000000000001'),
    pair: asPairId('P7K4292W'),
    stage: WLT,
    by: INES,
    from: MONDAY_8,
  },
];

describe('a set-up link', () => {
  test.each([
    ['a tablet that is not set up', { on: null, open: [] }, false, true],
    ['a bench where nobody is on and nothing is open', { on: null, open: [] }, true, true],
    ['a bench with somebody on', { on, open: [] }, true, false],
    ['a bench with a pair open and nobody on', { on: null, open }, true, false],
    ['a bench at work', { on, open }, true, false],
  ] as const)('at %s', (_, view, enrolled, may) => {
    expect(mayFollowSetUpLink(view, enrolled)).toBe(may);
  });

  test.each([
    ['#setup=W1234567890X', 'W1234567890X'],
    ['#setup=w123-4567-890x', 'w123-4567-890x'],
    ['#setup=', null],
    ['#setup=W1&more=2', null],
    [`#setup=${'W'.repeat(41)}`, null],
    ['#other', null],
    ['', null],
  ])('%s brings %s', (hash, code) => {
    expect(setUpCodeIn(hash)).toBe(code);
  });
});

test.each([
  ['?ticket=P7K4292W', 'P7K4292W'],
  ['?ticket=', null],
  ['?ticket=%0A', null],
  [`?ticket=${'P'.repeat(200)}`, null],
  ['', null],
])('an address %s brings the ticket %s', (search, ticket) => {
  expect(ticketInHand(search)).toBe(ticket);
});
