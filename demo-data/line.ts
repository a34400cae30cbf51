/** A discrete simulation: whoever is free first acts first, until the demo's present. */
import type { Instant } from '../src/domain/instant.ts';
import { Floor } from './floor.ts';
import { Hand, type HandSetup } from './hand.ts';
import { Office, type OfficeSetup } from './office.ts';
import type { PairOnLine } from './pairs.ts';
import type { Shop } from './shop.ts';
import type { Tablet } from './tablets.ts';

export interface LineSetup {
  readonly shop: Shop;
  readonly benches: readonly Tablet[];
  readonly hands: readonly HandSetup[];
  readonly office: OfficeSetup;
  readonly from: Instant;
  readonly endsAt: Instant;
}

/** Runs the line; the shop's scribe then holds what happened, some of it after the end. Returns its pairs. */
export function runLine({ shop, benches, hands, office, from, endsAt }: LineSetup): readonly PairOnLine[] {
  const floor = new Floor(benches, shop.scribe, shop.random);
  const desk = new Office(shop, office, from);
  const actors: readonly (Hand | Office)[] = [desk, ...hands.map((hand) => new Hand(shop, floor, hand))];
  for (;;) {
    const next = actors.reduce((first, actor) => (actor.at < first.at ? actor : first));
    if (next.at > endsAt) break;
    next.act();
  }
  floor.close(endsAt);
  return desk.pairs;
}
