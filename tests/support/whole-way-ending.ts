/** What the server's ledger must hold once the pairs have gone their whole way, read with SQLite's own program. */
import { expect } from 'playwright/test';
import type { PairId } from '../../src/domain/ids.ts';
import type { Job, LedgerRecord, RecordKind, RecordOf } from '../../src/domain/record/kinds.ts';
import { passReasons } from '../../src/words/choices.ts';
import { query } from './sqlite-client.ts';
import { recordsOfPair, statesIn } from './whole-way-records.ts';
import { ROUTES } from './whole-way-routes.ts';

/** Every record once and none missing: each bench's sequence runs from 1 without a gap, and no id stands twice. */
export async function expectAllKept(
  file: string,
  { pairs, spellsBesides }: { readonly pairs: readonly PairId[]; readonly spellsBesides: number },
): Promise<void> {
  const benches = await query(
    file,
    `select bench, count(*) as held, count(distinct id) as ids, count(distinct seq) as seqs, min(seq) as first,
     max(seq) as last from records group by bench`,
  );
  for (const { bench, held, ids, seqs, first, last } of benches)
    expect({ held, ids, seqs, first }, String(bench)).toEqual({
      held: last,
      ids: last,
      seqs: last,
      first: 1,
    });

  const kinds = await query(file, 'select kind, count(*) as held from records group by kind');
  const held = (kind: RecordKind) => kinds.find((row) => row.kind === kind)?.held ?? 0;
  // Booking in is done by logging the pair, at the desk.
  const spells = Object.values(ROUTES).reduce((sum, route) => sum + route.length - 1, spellsBesides);
  expect({ in: held('clocked-in'), out: held('clocked-out') }).toEqual({ in: spells, out: spells });
  expect(held('voided')).toBe(0);
  expect(held('let-through')).toBe(0);

  for (const [pair, { closedAt, flags, spells: worked }] of await statesIn(file, pairs)) {
    expect(closedAt, `${pair} is closed`).not.toBeNull();
    // No real hand is so quick: here one bench scans within the error of the tablets' clocks of the one before.
    expect(
      flags.filter(({ flag }) => flag !== 'clock-doubtful'),
      pair,
    ).toEqual([]);
    expect(worked.filter(({ outcome }) => outcome === 'open')).toEqual([]);
  }
  expect(await query(file, 'pragma integrity_check')).toEqual([{ integrity_check: 'ok' }]);
}

/** What came of the notes, the lasts, the shoe that went back, the check and the boxes. */
export async function expectStory(
  file: string,
  pairs: Readonly<Record<Lowercase<Job>, PairId>>,
): Promise<void> {
  const of = async (pair: PairId) => new Story(await recordsOfPair(file, pair));
  const [hl, hf, lg, rs, fb] = await Promise.all([
    of(pairs.hl),
    of(pairs.hf),
    of(pairs.lg),
    of(pairs.rs),
    of(pairs.fb),
  ]);

  const torn = fb.one('noted');
  expect(torn).toMatchObject({ defect: 'welt-torn-short', shoe: 'left', zone: 'edge-waist-outside' });
  expect(fb.seenAt(torn.id)).toEqual(['PUL', 'RIB', 'WLT']);
  fb.expectOrder(['note-seen', 'WLT'], ['clocked-in', 'WLT'], ['note-cured', 'WLT'], ['clocked-out', 'WLT']);

  const thin = lg.one('noted');
  expect(thin).toMatchObject({ defect: 'welt-thin', shoe: 'right' });
  expect(lg.seenAt(thin.id)).toEqual(['TRI', 'RND', 'STI', 'ETR']);
  lg.expectOrder(['note-seen', 'ETR'], ['clocked-in', 'ETR']);
  expect(lg.one('owner-asked').note).toBe(thin.id);
  expect(lg.one('checked')).toMatchObject({ openNotes: [thin.id], unrecorded: [], why: passReasons[0] });
  for (const story of [hl, hf, rs, fb])
    expect(story.one('checked')).toMatchObject({ probe: true, board: true, openNotes: [], why: null });

  for (const [story, last] of [
    [rs, '31 9 E'],
    [fb, '82 8 F'],
  ] as const) {
    expect(story.one('last-taken').last).toBe(last);
    expect(story.one('last-freed').last).toBe(last);
    story.expectOrder(['clocked-in', 'LAS'], ['last-taken'], ['last-freed'], ['clocked-in', 'HAT']);
  }
  for (const story of [hl, hf, lg]) expect(story.all('last-taken')).toEqual([]);

  expect(rs.one('set-aside')).toMatchObject({ stage: 'FND' });
  rs.one('taken-up');
  expect(hf.one('sent-back')).toMatchObject({
    from: 'ETR',
    to: 'STI',
    shoe: 'left',
    fault: 'w-stitch-skip',
    again: [{ stage: 'LEV', shoe: 'left' }],
  });
  expect(hf.all('clocked-in').map(({ stage, shoe }) => `${stage} ${shoe}`)).toEqual(
    expect.arrayContaining(['STI both', 'STI left', 'LEV left', 'ETR both']),
  );
  hf.expectOrder(['parted'], ['sent-back'], ['rejoined'], ['clocked-in', 'ETR'], ['clocked-in', 'EST']);

  expect(rs.one('boxed')).toMatchObject({ tag: 'by-eye', why: null });
  expect(fb.one('boxed')).toMatchObject({ tag: 'scanned', why: null });
  expect(lg.one('boxed').things).toEqual([
    { thing: 'Laces', back: true },
    { thing: 'Shoe bag', back: false },
  ]);
}

class Story {
  readonly #records: readonly LedgerRecord[];

  constructor(records: readonly LedgerRecord[]) {
    this.#records = records;
  }

  all<Kind extends RecordKind>(kind: Kind): readonly RecordOf<Kind>[] {
    return this.#records.filter((record): record is RecordOf<Kind> => record.kind === kind);
  }

  one<Kind extends RecordKind>(kind: Kind): RecordOf<Kind> {
    const [found, ...more] = this.all(kind);
    if (found === undefined || more.length > 0)
      throw new Error(`${more.length + (found === undefined ? 0 : 1)} records ${kind}, not one`);
    return found;
  }

  seenAt(note: string): readonly string[] {
    return this.all('note-seen')
      .filter((seen) => seen.note === note)
      .map(({ stage }) => stage);
  }

  /** The last records of these kinds, and at these stages where told, stand in this order. */
  expectOrder(...told: readonly (readonly [RecordKind, string?])[]): void {
    const places = told.map(([kind, stage]) =>
      this.#records.findLastIndex(
        (record) =>
          record.kind === kind && (stage === undefined || ('stage' in record && record.stage === stage)),
      ),
    );
    expect(places, JSON.stringify(told)).not.toContain(-1);
    expect(places, JSON.stringify(told)).toEqual(places.toSorted((one, other) => one - other));
  }
}
