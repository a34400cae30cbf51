/** What was promised against what is there. */
import type { RecordId } from '../../src/domain/ids.ts';
import type { Follower } from './follower.ts';
import type { Pusher } from './pusher.ts';

export interface Account {
  /** Sent at least once. */
  readonly made: number;
  /** Confirmed by an answer of the server. */
  readonly acknowledged: number;
  /** Of the acknowledged, those that are in the ledger. */
  readonly found: number;
  /** Acknowledged and not in the ledger: must be 0. */
  readonly lost: number;
  /** In the ledger more than once: must be 0. */
  readonly doubled: number;
  /** In the ledger with other content: must be 0. */
  readonly altered: number;
  /** In the ledger and made by nobody: must be 0. */
  readonly strange: number;
  /** Positions left out or out of turn for a reader by cursor: must be 0. */
  readonly outOfTurn: number;
}

export function accountOf(pushers: readonly Pusher[], follower: Follower): Account {
  const made = new Map<RecordId, string>(pushers.flatMap((pusher) => [...pusher.made]));
  const acknowledged = pushers.flatMap((pusher) => [...pusher.acknowledged]);
  const found = acknowledged.filter((id) => follower.came.has(id)).length;
  const came = [...follower.came];
  return {
    made: made.size,
    acknowledged: acknowledged.length,
    found,
    lost: acknowledged.length - found,
    doubled: came.filter(([, { times }]) => times > 1).length,
    altered: came.filter(([id, { hash }]) => made.has(id) && made.get(id) !== hash).length,
    strange: came.filter(([id]) => !made.has(id)).length,
    outOfTurn: follower.outOfTurn + follower.fromStart,
  };
}

/** What must be 0 and is not, by its name. */
export function broken({ lost, doubled, altered, strange, outOfTurn }: Account): readonly string[] {
  return Object.entries({ lost, doubled, altered, strange, outOfTurn })
    .filter(([, count]) => count > 0)
    .map(([name, count]) => `${count} ${name}`);
}
