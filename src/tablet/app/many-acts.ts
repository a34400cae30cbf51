/** Several pairs at one touch: a rack, and all that whoever is on has open here. */
import type { PairState } from '../../domain/fold/pair-state.ts';
import type { PairId } from '../../domain/ids.ts';
import { type Intent, intentOf } from '../../domain/intent.ts';
import type { Draft } from '../../domain/record/kinds.ts';
import type { CardWork } from './card-work.ts';
import { pairsOnRack } from './place-here.ts';
import type { OnRack } from './screen.ts';

export class ManyActs {
  readonly #work: CardWork;

  constructor(work: CardWork) {
    this.#work = work;
  }

  async openRack(rack: string): Promise<void> {
    const pairs: OnRack[] = [];
    for (const state of await pairsOnRack(this.#work.app.ledger, rack)) {
      const intent = await this.#intentFor(state.pair, state);
      const stage = 'begin' in intent ? intent.begin.stage : this.#work.app.view.stages[0];
      if (stage === undefined) continue;
      const can = intent.do === 'clock-in' || intent.do === 'clock-out' ? intent.do : 'scan-it';
      pairs.push({ pair: state.pair, state, stage, can });
    }
    this.#work.app.show({ screen: { is: 'rack', rack, pairs }, hint: null });
  }

  rackPair(rack: string, pair: PairId): Promise<void> {
    return this.#work.app.record([this.#work.draft('racked', { pair, rack })], () =>
      this.#work.app.show({ hint: { is: 'racked', rack } }),
    );
  }

  /** Clocks in every pair of the rack that nothing stands before; the others want a scan each. */
  rackIn(): Promise<void> {
    return this.#onRack('clock-in', 'in');
  }

  rackOut(): Promise<void> {
    return this.#onRack('clock-out', 'out');
  }

  /** All that whoever is on has open here is done, where nothing stands before its end. */
  allDone(): Promise<void> {
    const { screen: shown } = this.#work.app.view;
    return this.#work.app.tap(async () => {
      const { open, on, screen } = this.#work.app.view;
      if (screen !== shown) return;
      const mine = open.filter(({ by }) => by === on?.id).map(({ pair }) => pair);
      await this.#each([...new Set(mine)], 'clock-out', 'out');
    });
  }

  #onRack(can: 'clock-in' | 'clock-out', did: 'in' | 'out'): Promise<void> {
    const { screen: shown } = this.#work.app.view;
    return this.#work.app.tap(async () => {
      const { screen } = this.#work.app.view;
      if (screen.is !== 'rack' || screen !== shown) return;
      await this.#each(
        screen.pairs.map(({ pair }) => pair),
        can,
        did,
        screen.rack,
      );
    });
  }

  /** Each pair is asked anew what a scan of it would mean now, and all go into one act. */
  async #each(
    ids: readonly PairId[],
    can: 'clock-in' | 'clock-out',
    did: 'in' | 'out',
    rack: string | null = null,
  ): Promise<void> {
    const drafts: Draft[] = [];
    const taken: PairId[] = [];
    let left = 0;
    for (const id of ids) {
      const state = await this.#work.app.pair(id);
      const intent = await this.#intentFor(id, state);
      if (intent.do !== can) {
        if (intent.do !== 'clock-in' && intent.do !== 'clock-out') left += 1;
        continue;
      }
      taken.push(id);
      if (intent.do === 'clock-in') {
        const { stage, shoe } = intent.begin;
        drafts.push(this.#work.draft('clocked-in', { pair: id, stage, shoe, unknownPair: false }));
      } else if (intent.do === 'clock-out') {
        drafts.push(...this.#work.out(id, intent.spell, 'done', state));
      }
    }
    const say = async () => {
      if (rack === null) this.#work.app.rest();
      else await this.openRack(rack);
      this.#work.app.show({ hint: { is: 'many', did, pairs: taken.length, left } });
    };
    if (drafts.length === 0) return say();
    // A note may have come in between the failure and the next try: then they are all asked anew.
    await this.#work.app.record(drafts, say, async () => {
      for (const id of taken) {
        const { do: means } = await this.#intentFor(id, await this.#work.app.pair(id));
        if (means !== can) return () => this.#each(ids, can, did, rack);
      }
      return null;
    });
  }

  /** What a scan of the pair would mean; re-lasting takes a pair of lasts each, so it wants a scan each. */
  async #intentFor(id: PairId, pair: PairState | null): Promise<Intent> {
    const code = { kind: 'ticket' as const, pair: id, checked: true, shoe: null };
    const now = { ...this.#work.app.benchNow(await this.#work.app.placeFor(pair)), finding: false };
    const intent = intentOf(
      { code, holder: null, pair },
      { ...now, card: null, awaiting: { is: 'nothing' } },
    );
    const lastFrom = this.#work.app.view.book?.ways.lastFrom ?? null;
    const takesLast = intent.do === 'clock-in' && intent.begin.stage === lastFrom;
    return takesLast ? { do: 'found-here', pair: id } : intent;
  }
}
