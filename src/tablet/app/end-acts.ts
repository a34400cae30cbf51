/** Ending work on a pair: done, not finished, sent back, set aside; and taking back what has just been done. */
import type { Ask } from '../../domain/begin.ts';
import type { PairState, Spell } from '../../domain/fold/pair-state.ts';
import { isDone } from '../../domain/fold/spells.ts';
import type { PairId, RecordId, StageCode } from '../../domain/ids.ts';
import { endIntent, stageHere } from '../../domain/intent.ts';
import type { Draft, LedgerRecord, OneShoe, RecordOf } from '../../domain/record/kinds.ts';
import { againAfter, againOn, isOnRoute, missingFor, wayOf } from '../../domain/way.ts';
import type { Back, Forgotten } from './acts.ts';
import type { BeginActs } from './begin-acts.ts';
import { type CardWork, spellOf, undoOf } from './card-work.ts';
import type { Choosing, Moment, PairCard } from './screen.ts';

export class EndActs {
  readonly #work: CardWork;
  readonly #begin: BeginActs;

  constructor(work: CardWork, begin: BeginActs) {
    this.#work = work;
    this.#begin = begin;
  }

  /** Clock out by a tap, as a second scan would. */
  finish(): Promise<void> {
    return this.#work.onCard(async (card) => {
      const spell = spellOf(card);
      if (spell !== null && card.pair !== null) await this.#work.endAsked(card.pair, spell);
    });
  }

  /** What became of work that nobody clocked out: a time that nobody noted is not made up. */
  forgotten(was: Forgotten): Promise<void> {
    return this.#work.onCard(async (card) => {
      const { moment } = card;
      if (moment.is !== 'forgotten') return;
      const { book, on } = this.#work.app.view;
      if (was !== 'going-on' && card.pair !== null && on !== null) {
        // What has to be seen, felt for or compared is asked all the same.
        const intent = endIntent(card.pair, moment.spell, on.id, { book });
        if (intent.do !== 'clock-out') return this.#work.onEnd?.(intent, card.pair);
      }
      if (was !== 'going-on') return this.clockOut(card, moment.spell, [], was === 'done-now');
      const drafts = this.#work.out(card.id, moment.spell, 'not-finished', card.pair, false);
      await this.#work.make(card, drafts, (pair, made) => this.#goOn(card, pair, moment.spell, made));
    });
  }

  /** Begins anew where the forgotten spell left off. */
  #goOn(
    card: PairCard,
    pair: PairState,
    { shoe, stage }: Spell,
    made: readonly LedgerRecord[],
  ): Promise<void> {
    const on = this.#work.app.making().by;
    if (on === null) return Promise.resolve(this.#work.app.rest());
    const begin = { id: card.id, pair, stage, shoe, on, settled: new Set<Ask>() };
    return this.#begin.begin(begin, pair, undoOf(made));
  }

  async clockOut(
    card: Pick<PairCard, 'id' | 'pair' | 'stage'>,
    spell: Spell,
    first: readonly Draft[] = [],
    timed = true,
  ): Promise<void> {
    if (spell.outcome !== 'open') return;
    const drafts = [...first, ...this.#work.out(card.id, spell, 'done', card.pair, timed)];
    await this.#work.makeAndShow(
      card,
      drafts,
      (made, after) => ({
        is: 'clocked-out',
        at: this.#work.app.now(),
        spell: after.spells.find((candidate) => candidate.id === spell.id) ?? spell,
        undo: undoOf(made),
        next: this.#nextHere(after, spell),
      }),
      async () => this.standsBeforeEnd({ ...card, pair: await this.#work.app.pair(card.id) }, spell),
    );
  }

  /**
   * A note that has come in stands before the end of the work, by a scan and by a tap alike: gives back what to do
   * instead, or null.
   */
  standsBeforeEnd(
    { id, pair, stage }: Pick<PairCard, 'id' | 'pair' | 'stage'>,
    { id: of }: Spell,
  ): (() => void) | null {
    const { app } = this.#work;
    const spell = pair?.spells.find((candidate) => candidate.id === of);
    const { on, book } = app.view;
    if (pair === null || spell?.outcome !== 'open' || on === null) return () => app.rest();
    if (endIntent(pair, spell, on.id, { book }).do !== 'notes-came-in') return null;
    return () => this.#work.show(id, pair, stage, { is: 'open', at: app.now(), spell });
  }

  notFinished(): Promise<void> {
    return this.#work.onCard(async (card) => {
      const drafts = this.#endUnfinished(card);
      if (drafts.length === 0) return;
      await this.#work.makeAndShow(card, drafts, (made) => ({
        is: 'not-finished',
        at: this.#work.app.now(),
        undo: undoOf(made),
        takenBack: takenBackBy(card),
      }));
    });
  }

  setAside(reason: string): Promise<void> {
    return this.#work.onCard(async (card) => {
      // Work that was just clocked out as done stays done: a finished pair may well be put by.
      const drafts = [
        ...(card.moment.is === 'clocked-out' ? [] : this.#endUnfinished(card)),
        this.#work.draft('set-aside', { pair: card.id, stage: card.stage, reason }),
      ];
      await this.#work.makeAndShow(card, drafts, (made) => ({
        is: 'set-aside',
        at: this.#work.app.now(),
        reason,
        undo: undoOf(made),
      }));
    });
  }

  /** One shoe that goes back parts the pair: the other waits here. */
  sendBack(back: Back): Promise<void> {
    return this.#work.onCard(async (card) => {
      const { to, shoe, reason, fault } = back;
      const sent = this.#work.draft('sent-back', {
        pair: card.id,
        from: card.stage,
        to,
        shoe,
        reason,
        fault,
        again: this.#againAfter(card.pair, back),
      });
      const parts = shoe !== 'both' && card.pair?.parted == null;
      const drafts = [
        ...this.#endUnfinished(card),
        ...(parts ? [this.#work.draft('parted', { pair: card.id, shoe, why: reason })] : []),
        // Last, since a pair is found by its last record, and this one names the stage.
        sent,
      ];
      await this.#work.makeAndShow(card, drafts, (made) => ({
        is: 'sent-back',
        at: this.#work.app.now(),
        to,
        shoe,
        undo: undoOf(made),
        takenBack: takenBackBy(card),
      }));
    });
  }

  /** One shoe goes on alone. */
  part(shoe: OneShoe): Promise<void> {
    return this.#work.onCard((card) => {
      const parted = this.#work.draft('parted', { pair: card.id, shoe, why: 'parted at the bench' });
      return this.#work.makeAndSay(card, [parted], { is: 'parted', shoe });
    });
  }

  machineStopped(why: string): Promise<void> {
    return this.#work.onCard(async (card) => {
      const where = this.#work.app.making().bench;
      const stopped = this.#work.draft('machine-stopped', { where, stage: card.stage, why });
      await this.#work.app.record([stopped], async () => {
        await this.#work.app.readMachines();
        this.#work.app.showCard({ ...card, choosing: null });
        this.#work.app.show({ hint: { is: 'machine-stopped' } });
      });
    });
  }

  /** Takes back what has just been done to the pair on the card. */
  undo(): Promise<void> {
    return this.#work.onCard(async (card) => {
      if (!('undo' in card.moment)) return;
      const again = 'takenBack' in card.moment ? card.moment.takenBack : [];
      const drafts = [
        ...this.#work.taken(card.id, card.moment.undo, 'undo'),
        // A taking-back cannot be taken back: what it took is made anew.
        ...(await this.#work.again(card.id, again)),
      ];
      await this.#work.app.record(drafts, async () => {
        await this.#work.app.refold();
        const pair = await this.#work.app.pair(card.id);
        const spell =
          pair === null ? undefined : this.#work.openHere(pair).findLast(({ stage }) => stage === card.stage);
        if (spell === undefined)
          return this.#work.app.show({ screen: { is: 'ready' }, hint: { is: 'undone' } });
        this.#work.app.showCard({
          ...card,
          pair,
          choosing: null,
          moment: { is: 'open', at: this.#work.app.now(), spell },
        });
        this.#work.app.show({ hint: { is: 'undone' } });
      });
    });
  }

  choose(choosing: Choosing | null): Promise<void> {
    return this.#work.onCard((card) => {
      this.#work.app.showCard({ ...card, choosing });
    });
  }

  /** Opens the card of a pair that is open here. */
  open(id: PairId): Promise<void> {
    return this.#work.app.tap(async () => {
      const pair = await this.#work.app.pair(id);
      const spell = pair === null ? undefined : this.#work.openHere(pair).at(-1);
      if (pair === null || spell === undefined) return this.#work.app.rest();
      const moment: Moment = { is: 'open', at: this.#work.app.now(), spell };
      this.#work.show(id, pair, spell.stage, moment);
    });
  }

  /** Leaves the card; nothing is recorded. */
  leave(): Promise<void> {
    return this.#work.app.tap(() => {
      this.#work.app.rest();
      this.#work.app.show({ hint: null });
    });
  }

  /** The pair is only found here: no work begins. */
  foundThis(): Promise<void> {
    return this.#work.onCard((card) => this.found(card.id));
  }

  found(id: PairId): Promise<void> {
    return this.#work.app.record([this.#work.draft('found-here', { pair: id })], () => {
      this.#work.app.rest();
      this.#work.app.show({ hint: { is: 'found', pair: id } });
    });
  }

  #againAfter(pair: PairState | null, { to, shoe, again }: Back): RecordOf<'sent-back'>['again'] {
    const { book } = this.#work.app.view;
    const way = pair === null || book === null ? null : wayOf(pair, book, shoe);
    if (way === null) return [];
    if (again === null) return [...againAfter(way, to, shoe)];
    return [...againOn(way, to, shoe, again)];
  }

  /**
   * Ends the card's spell as not finished, if it has one. Said within seconds of clocking out as done, the *done* is
   * taken back first.
   */
  #endUnfinished(card: PairCard): readonly Draft[] {
    const spell = spellOf(card);
    const takenBack = takenBackBy(card);
    if (spell === null || !(spell.outcome === 'open' || takenBack.some((id) => id === spell.endedBy)))
      return [];
    return [
      ...this.#work.taken(card.id, takenBack, 'said otherwise'),
      ...this.#work.out(card.id, spell, 'not-finished', card.pair),
    ];
  }

  /** The stage that the same hand can go on with here, with nothing missing before it. */
  #nextHere(pair: PairState, { stage: ended, shoe }: Spell): StageCode | null {
    const { book, stages } = this.#work.app.view;
    const next = stageHere(pair, shoe, { stages, book });
    if (next === undefined || next === ended || isDone(pair, next, shoe)) return null;
    const way = book === null ? null : wayOf(pair, book, shoe);
    return way === null || (isOnRoute(way, next) && missingFor(way, next).length === 0) ? next : null;
  }
}

/** What said that the work was done, where the card's next ending takes that back. */
function takenBackBy({ moment }: PairCard): readonly RecordId[] {
  return moment.is === 'clocked-out' ? moment.undo : [];
}
