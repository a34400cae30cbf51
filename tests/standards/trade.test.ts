/**
 * The catalogue's order against the trade's. The passage or "common practice, no source" stands beside each
 * fact; sources were read in excerpts. A pair is looked for through the stages between: A before B before C.
 */
import { describe, expect, test } from 'vitest';
import { PRECEDENCE } from '../../src/domain/catalogue/precedence.ts';
import { stageByCode } from '../../src/domain/catalogue/stages.ts';
import { asStageCode } from '../../src/domain/ids.ts';

const COMMON = 'common practice, no source';
const DOOLEY = 'Dooley, A Manual of Shoemaking and Leather and Rubber Products, 1912, sole fastening';
const INDUSTRY = 'The Shoe Industry, a careers book of about 1916, the making department';
const PENNSYLVANIA = 'Official Documents of Pennsylvania, report on the shoe industry, early 1900s';

const kindOf = (stage: string, needs: string) =>
  PRECEDENCE.find((pair) => pair.stage === stage && pair.needs === needs)?.kind;

/** Whether `late` cannot start until `early` is done, by hard pairs alone, through however many stages. */
function mustFollow(late: string, early: string): boolean {
  return PRECEDENCE.filter((pair) => pair.stage === late && pair.kind === 'hard').some(
    ({ needs }) => needs === early || mustFollow(needs, early),
  );
}

describe('what must come first', () => {
  test.each([
    // "Surplus parts of the lip, upper, and welt are trimmed off by the inseam trimming"; next is welt beating.
    ['WLT', 'INT', INDUSTRY],
    ['INT', 'BEA', INDUSTRY],
    // "The welt beater hammers the welt flat ... After the bottom filling has been inserted, soles are laid on".
    ['BEA', 'CRK', PENNSYLVANIA],
    ['CRK', 'LAY', PENNSYLVANIA],
    ['INT', 'CRK', PENNSYLVANIA],
    // The shank lies in the waist and the filling round it.
    ['SHK', 'CRK', COMMON],
    // The sole is laid, then trimmed by the rough rounder, which "also channels the outer sole at the same time,
    // which is necessary for the next operation"; then it is sewn to the welt.
    ['LAY', 'RND', DOOLEY],
    ['RND', 'STI', DOOLEY],
    // Channel cement, channel laying and levelling follow the stitching; the seat is nailed after it.
    ['STI', 'LEV', DOOLEY],
    ['STI', 'SNA', DOOLEY],
    // Levelled first, then "to the heeler where heels are attached".
    ['LEV', 'HAT', PENNSYLVANIA],
    // Nailed from inside the shoe, so the last is out. Houses with a heeling post differ.
    ['SLP', 'HAT', COMMON],
    ['SLP', 'TOP', COMMON],
    // Nothing is cut before the owner has agreed.
    ['OWN', 'PUL', 'training.gov.au, unit MSTFR2004: the customer is told the cost before work starts'],
    ['RIB', 'LAS', COMMON],
    ['CLO', 'LAS', COMMON],
    // Wax keeps stain out, and a wet stain spoils the wax.
    ['ETR', 'EST', INDUSTRY],
    ['EST', 'WAX', INDUSTRY],
    ['WAX', 'EPL', COMMON],
    // The scoured face is the key for the stain.
    ['BSC', 'BST', COMMON],
    // A sock hides a nail point.
    ['CHK', 'SOK', COMMON],
    ['SOK', 'BOX', COMMON],
  ])('%s before %s (%s)', (early, late) => {
    expect(mustFollow(late, early)).toBe(true);
    expect(mustFollow(early, late)).toBe(false);
  });

  test('last out is the very need of heel attaching (common practice, no source)', () => {
    expect(kindOf('HAT', 'SLP')).toBe('hard');
  });

  test('the heel socks wait for the final check itself (common practice, no source)', () => {
    expect(kindOf('SOK', 'CHK')).toBe('hard');
  });
});

describe('what is only the habit of a house', () => {
  test.each([
    // Bottom before edge or edge before bottom: both are seen.
    ['BSC', 'EPL', COMMON],
    ['UCL', 'BST', COMMON],
    ['DET', 'BST', COMMON],
    // Heel scouring and edge trimming come in either order; both before the edge is stained.
    ['ETR', 'SC2', COMMON],
    ['CLN', 'TRI', COMMON],
  ])('%s usually after %s, never held up by it (%s)', (late, early) => {
    expect(kindOf(late, early)).toBe('usual');
    expect(mustFollow(late, early)).toBe(false);
  });

  test('edges need not be finished before bottoms are stained (common practice, no source)', () => {
    expect(mustFollow('BST', 'EPL')).toBe(false);
    expect(mustFollow('BST', 'EST')).toBe(false);
    expect(mustFollow('BST', 'BSC')).toBe(true);
  });

  test.each([
    // Each runs beside the main line, so a pair has more than one open front.
    ['FND', 'OWN'],
    ['PRP', 'PUL'],
    ['HBL', 'LAY'],
  ])('%s does not wait for %s (common practice, no source)', (stage, other) => {
    expect(mustFollow(stage, other)).toBe(false);
  });
});

describe('what the stages are', () => {
  test('the two seams are two stitches (Dooley, 1912: the outsole has a lockstitch; inseam a chain stitch)', () => {
    expect(stageByCode(asStageCode('WLT'))?.why).toContain('chain stitch');
    expect(stageByCode(asStageCode('STI'))?.why).toContain('Lockstitch');
  });

  test('soles are begun the day before: about twelve hours to mellow (Plucknett, as quoted by teachers)', () => {
    expect(stageByCode(asStageCode('PRP'))?.settleMinutes).toEqual({ least: 720, most: 720 });
  });

  test('colour is laid on both shoes at one sitting (common practice, no source)', () => {
    expect(stageByCode(asStageCode('EST'))?.shoes).toBe('pair');
    expect(stageByCode(asStageCode('BST'))?.shoes).toBe('pair');
  });
});
