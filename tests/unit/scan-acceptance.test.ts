import { describe, expect, test } from 'vitest';
import { ticketPatternSchema } from '../../src/domain/ticket-pattern.ts';
import { type Accepted, accept, NOTHING_READ } from '../../src/tablet/scan/acceptance.ts';

const OURS = 'P7K4292W';
const OURS_TOO = 'P030000Y';
const BADGE = 'H000000000000000000Y';
const DAMAGED = 'P7K4292M';
const SITE = ticketPatternSchema.parse('J-#####');

interface Row {
  readonly at: number;
  readonly texts: readonly string[];
  readonly held?: readonly string[];
}

/** What is accepted at the last of these frames; a bare text stands for taking it. */
function last(rows: readonly Row[]): string | Accepted {
  let acceptance = NOTHING_READ;
  let accepted: Accepted = { kind: 'nothing' };
  for (const { at, texts, held = [] } of rows) {
    const readings = texts.map((text) => ({ text, symbol: 'qr' as const }));
    ({ acceptance, accepted } = accept(acceptance, {
      at,
      readings,
      pattern: SITE,
      isHeld: (text) => held.includes(text),
    }));
  }
  return accepted.kind === 'taken' ? accepted.reading.text : accepted;
}

const NOTHING: Accepted = { kind: 'nothing' };

describe.each<{ fact: string; rows: readonly Row[]; accepted: string | Accepted }>([
  { fact: 'our ticket is taken at the first reading', rows: [{ at: 0, texts: [OURS] }], accepted: OURS },
  { fact: 'an empty frame gives nothing', rows: [{ at: 0, texts: [] }], accepted: NOTHING },
  {
    fact: 'the same code as QR and as bars is one code',
    rows: [{ at: 0, texts: [OURS, OURS] }],
    accepted: OURS,
  },
  { fact: 'a held ticket gives nothing', rows: [{ at: 0, texts: [OURS], held: [OURS] }], accepted: NOTHING },

  {
    fact: "a site's own ticket waits for a second reading",
    rows: [{ at: 0, texts: ['J-10442'] }],
    accepted: NOTHING,
  },
  {
    fact: "a site's own ticket is taken at the second equal reading",
    rows: [
      { at: 0, texts: ['J-10442'] },
      { at: 500, texts: ['J-10442'] },
    ],
    accepted: 'J-10442',
  },
  {
    fact: 'a second reading that comes too late is a first one',
    rows: [
      { at: 0, texts: ['J-10442'] },
      { at: 501, texts: ['J-10442'] },
    ],
    accepted: NOTHING,
  },
  {
    fact: 'two different readings do not confirm each other',
    rows: [
      { at: 0, texts: ['J-10442'] },
      { at: 100, texts: ['J-10447'] },
    ],
    accepted: NOTHING,
  },
  {
    fact: 'an empty frame between two equal readings does no harm',
    rows: [
      { at: 0, texts: ['J-10442'] },
      { at: 100, texts: [] },
      { at: 200, texts: ['J-10442'] },
    ],
    accepted: 'J-10442',
  },

  {
    fact: 'a damaged reading does not shout at once',
    rows: [{ at: 0, texts: [DAMAGED] }],
    accepted: NOTHING,
  },
  {
    fact: 'a damaged reading is let through when it was read the same twice',
    rows: [
      { at: 0, texts: [DAMAGED] },
      { at: 1500, texts: [DAMAGED] },
    ],
    accepted: DAMAGED,
  },
  {
    fact: 'a foreign reading is let through when it was read the same twice',
    rows: [
      { at: 0, texts: ['5901234123457'] },
      { at: 100, texts: ['5901234123457'] },
    ],
    accepted: '5901234123457',
  },
  {
    fact: 'garbled readings that differ never shout',
    rows: [
      { at: 0, texts: [DAMAGED] },
      { at: 100, texts: ['P7K4292X'] },
      { at: 200, texts: ['P7K4292V'] },
    ],
    accepted: NOTHING,
  },
  {
    fact: 'a damaged reading keeps quiet when the ticket was read well a moment ago',
    rows: [
      { at: 0, texts: [OURS] },
      { at: 100, texts: [DAMAGED], held: [OURS] },
      { at: 200, texts: [DAMAGED], held: [OURS] },
    ],
    accepted: NOTHING,
  },
  {
    fact: 'our ticket is taken beside a foreign label',
    rows: [{ at: 0, texts: ['5901234123457', OURS] }],
    accepted: OURS,
  },

  {
    fact: 'two tickets in one frame are not chosen between',
    rows: [{ at: 0, texts: [OURS, OURS_TOO] }],
    accepted: { kind: 'several', texts: [OURS_TOO, OURS] },
  },
  {
    fact: 'a ticket and a badge that are both new are not chosen between',
    rows: [{ at: 0, texts: [OURS, BADGE] }],
    accepted: { kind: 'several', texts: [BADGE, OURS] },
  },
  {
    fact: 'a badge is taken while a ticket lies in view from before',
    rows: [{ at: 0, texts: [OURS, BADGE], held: [OURS] }],
    accepted: BADGE,
  },
  {
    fact: 'a second ticket is not taken while the first lies in view',
    rows: [{ at: 0, texts: [OURS, OURS_TOO], held: [OURS] }],
    accepted: { kind: 'several', texts: [OURS_TOO, OURS] },
  },
  {
    fact: 'one of two tickets is not taken because the next frame missed the other',
    rows: [
      { at: 0, texts: [OURS, OURS_TOO] },
      { at: 100, texts: [OURS] },
    ],
    accepted: NOTHING,
  },
  {
    fact: 'the ticket that is left is taken when the other is gone',
    rows: [
      { at: 0, texts: [OURS, OURS_TOO] },
      { at: 600, texts: [OURS] },
    ],
    accepted: OURS,
  },
])('acceptance', ({ fact, rows, accepted }) => {
  test(fact, () => {
    expect(last(rows)).toEqual(accepted);
  });
});
