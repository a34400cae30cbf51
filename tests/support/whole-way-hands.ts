/** The benches of the whole way, and who works at each: hands with badges of their own in the site's book. */
import { codeHash } from '../../src/domain/code-hash.ts';
import { asOperativeId, asStageCode, type OperativeId, type StageCode } from '../../src/domain/ids.ts';
import type { SiteBook } from '../../src/domain/site-book.ts';
import { newToken, type Site } from './site.ts';

export interface Hand {
  readonly id: OperativeId;
  readonly name: string;
  readonly badge: string;
}

export interface BenchWithHand {
  readonly name: string;
  readonly stages: readonly StageCode[];
  readonly hand: string;
}

const bench = (name: string, stages: string, hand: string): BenchWithHand => ({
  name,
  stages: stages.split(' ').map(asStageCode),
  hand,
});

/** Eight tablets, each at a group of neighbouring stages. */
export const BENCHES = [
  bench('Counter', 'REC TRI', 'Ines Okafor'),
  bench('Strip-down', 'CLN PUL RIB CLO', 'Tomasz Lindqvist'),
  bench('Lasting', 'FND LAS WRP SLP', 'Noor Castell'),
  bench('Welting', 'WLT INT BEA SEA SHK CRK', 'Odile Marsh'),
  bench('Bottoming', 'PRP LAY RND STI SNA LEV', 'Jonas Feld'),
  bench('Heels', 'HBL HAT TOP BRS SC1 SC2', 'Anselm Roe'),
  bench('Edges', 'ETR EST WAX EPL BSC BST DET UCL UPL', 'Bram Holt'),
  bench('Checking', 'CHK SOK LAC BOX DSP', 'Sefa Quill'),
] as const;

/** Not released for any machine. */
export const APPRENTICE = 'Pia Lund';

/**
 * Puts these hands into the book beside whoever is in it. Do it before a tablet is opened that they badge on at.
 * @param unreleased names of those in the book who may run no machine
 */
export async function addHands(
  site: Site,
  names: readonly string[],
  unreleased: readonly string[] = [],
): Promise<ReadonlyMap<string, Hand>> {
  const hands = new Map<string, Hand>();
  await site.changeBook((book: SiteBook) => {
    const known = new Map(book.operatives.map(({ id, name }) => [name, id]));
    for (const name of names) {
      const id = known.get(name) ?? asOperativeId(`op-${name.split(' ')[0]?.toLowerCase()}`);
      hands.set(name, { id, name, badge: newToken('badge') });
    }
    const added = [...hands.values()].filter(({ name }) => !known.has(name));
    return {
      ...book,
      operatives: [
        ...book.operatives,
        ...added.map(({ id, name }) => ({ id, name, role: 'hand' as const, released: null })),
      ].map((one) => (unreleased.includes(one.name) ? { ...one, released: [] } : one)),
      badges: [
        ...book.badges,
        ...[...hands.values()].map(({ id, badge }) => ({ hash: codeHash(badge), operative: id })),
      ],
    };
  });
  return hands;
}
