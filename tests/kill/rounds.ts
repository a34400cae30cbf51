/**
 * Round after round: tablets push and read over HTTP, something is killed without a word in the middle of it, and what
 * was killed comes back. In the end everything that was confirmed must be there, once, as it was sent.
 *
 * A killed process loses what it has not handed to the operating system. That it was handed on to the disk as well is
 * shown by `synchronous` and `fsync`, which every connection is asked for; no test here pulls a plug.
 */
import { setTimeout as pause } from 'node:timers/promises';
import { prng } from '../../demo-data/prng.ts';
import { type Account, accountOf } from './account.ts';
import { Follower } from './follower.ts';
import { postgresHouse, sqliteHouse, type Victim } from './house.ts';
import { Pusher } from './pusher.ts';

export const STORES = ['sqlite', 'postgres'] as const;
export type StoreKind = (typeof STORES)[number];

const TABLETS = 4;
/** From the start of a round's load to the kill. */
const LEAST_MS = 30;
const MOST_MS = 700;

export interface KillPlan {
  readonly store: StoreKind;
  readonly rounds: number;
  readonly seed: number;
  readonly told?: (round: number) => void;
}

export interface KillReport extends Account {
  readonly store: StoreKind;
  readonly rounds: number;
  readonly seed: number;
  readonly kills: Readonly<Record<Victim, number>>;
  /** Requests cut off in the middle, and those that the server answered with a fault of its own. */
  readonly unanswered: number;
  readonly serverFaults: number;
  /** Servers that ended without being killed: must be 0. */
  readonly fell: number;
  readonly seconds: number;
}

export async function killRounds({ store, rounds, seed, told }: KillPlan): Promise<KillReport> {
  const startedAt = performance.now();
  const chance = prng(seed);
  const house = await (store === 'sqlite' ? sqliteHouse(chance) : postgresHouse(chance));
  const kills: Record<Victim, number> = { server: 0, backend: 0 };
  try {
    const names = Array.from({ length: TABLETS }, (_, index) => `Bench ${index + 1}`);
    const tablets = await house.enrol(names);
    const pushers = tablets.map(
      (tablet, index) => new Pusher(tablet, prng(seed * TABLETS + index), house.address),
    );
    const follower = new Follower(tablets[0]?.authorization ?? '', house.address);
    follower.start();
    for (let round = 1; round <= rounds; round += 1) {
      for (const pusher of pushers) pusher.start();
      await pause(chance.between(LEAST_MS, MOST_MS));
      const victim: Victim = store === 'postgres' && chance.chance(0.5) ? 'backend' : 'server';
      await house.kill(victim);
      kills[victim] += 1;
      await Promise.all(pushers.map((pusher) => pusher.stop()));
      told?.(round);
    }
    await follower.stop();
    const sum = (of: (pusher: Pusher) => number) => pushers.reduce((all, pusher) => all + of(pusher), 0);
    return {
      store,
      rounds,
      seed,
      kills,
      ...accountOf(pushers, follower),
      unanswered: sum(({ unanswered }) => unanswered),
      serverFaults: sum(({ serverFaults }) => serverFaults),
      fell: house.fell,
      seconds: Math.round((performance.now() - startedAt) / 1000),
    };
  } finally {
    await house.close();
  }
}
