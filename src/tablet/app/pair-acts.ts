/** What scans and taps do to a pair: the records they make, and the card that says so. */
import { clockedIn, clockedOut, noteSeen, sentBack, setAside, takenUp, voided } from '../../domain/drafts.ts';
import type { PairState, Spell } from '../../domain/fold/pair.ts';
import { hasSeen, openSpells } from '../../domain/fold/pair.ts';
import type { PairId, RecordId, StageCode } from '../../domain/ids.ts';
import { beginIntent, type Question } from '../../domain/intent.ts';
import type { Draft, LedgerRecord } from '../../domain/record/kinds.ts';
import type { BenchApp, PairIntent } from './bench-app.ts';
import type { Moment, PairCard } from './screen.ts';

export class PairActs {
  readonly #app: BenchApp;
  #turn = 0;

  constructor(app: BenchApp) {
    this.#app = app;
    app.onPair = (intent, pair) => this.#do(intent, pair);
  }

  /** A note on the card was tapped *Seen*; after the last one the pair is clocked in. */
  seen(note: RecordId): Promise<void> {
    return this.#onCard(async (card) => {
      const on = this.#app.making().by;
      const held = card.pair?.notes.find((one) => one.note.id === note);
      if (held === undefined || on === null || hasSeen(held, on, card.stage)) return;
      await this.#make(card, [noteSeen(this.#app.making(), card.id, note, card.stage)], (pair) =>
        // A note that came in while the pair is worked is only seen; nothing begins anew.
        card.moment.is === 'see-notes'
          ? this.#begin(card.id, pair, card.stage)
          : this.#app.showCard({ ...card, pair }),
      );
    });
  }

  /** Clock out by a tap, as a second scan would. */
  finish(): Promise<void> {
    return this.#onSpell((card, spell) => this.#clockOut(card, spell));
  }

  notFinished(): Promise<void> {
    return this.#onCard(async (card) => {
      const drafts = this.#endUnfinished(card);
      if (drafts.length === 0) return;
      await this.#makeAndShow(card, drafts, (made) => ({
        is: 'not-finished',
        at: this.#app.now(),
        undo: undoOf(made),
        wasDone: wasDone(card),
      }));
    });
  }

  setAside(reason: string): Promise<void> {
    return this.#onCard(async (card) => {
      // Work that was just clocked out as done stays done: a finished pair may well be put by.
      const drafts = [
        ...(card.moment.is === 'clocked-out' ? [] : this.#endUnfinished(card)),
        setAside(this.#app.making(), card.id, card.stage, reason),
      ];
      await this.#makeAndShow(card, drafts, (made) => ({
        is: 'set-aside',
        at: this.#app.now(),
        reason,
        undo: undoOf(made),
      }));
    });
  }

  sendBack(to: StageCode, reason: string): Promise<void> {
    return this.#onCard(async (card) => {
      const drafts = [
        ...this.#endUnfinished(card),
        sentBack(this.#app.making(), card.id, card.stage, to, 'both', reason),
      ];
      await this.#makeAndShow(card, drafts, (made) => ({
        is: 'sent-back',
        at: this.#app.now(),
        to,
        undo: undoOf(made),
        wasDone: wasDone(card),
      }));
    });
  }

  /** Takes back what has just been done to the pair on the card. */
  undo(): Promise<void> {
    return this.#onCard(async (card) => {
      if (!('undo' in card.moment)) return;
      const again = 'wasDone' in card.moment ? card.moment.wasDone : null;
      const drafts = [
        ...card.moment.undo.map((of) => voided(this.#app.making(), card.id, of, 'undo')),
        // A taking-back cannot be taken back: the *done* is made anew.
        ...(again === null ? [] : [this.#out(card.id, again, 'done')]),
      ];
      await this.#app.record(drafts, async () => {
        await this.#app.refold();
        const pair = await this.#app.pair(card.id);
        const spell =
          pair === null ? undefined : this.#openHere(pair).findLast(({ stage }) => stage === card.stage);
        if (spell === undefined) return this.#app.show({ screen: { is: 'ready' }, hint: { is: 'undone' } });
        this.#app.showCard({
          ...card,
          pair,
          choosing: null,
          moment: { is: 'open', at: this.#app.now(), spell },
        });
        this.#app.show({ hint: { is: 'undone' } });
      });
    });
  }

  choose(choosing: PairCard['choosing']): Promise<void> {
    return this.#onCard((card) => this.#app.showCard({ ...card, choosing }));
  }

  /** Opens the card of a pair that is open here. */
  open(id: PairId): Promise<void> {
    return this.#app.tap(async () => {
      const pair = await this.#app.pair(id);
      const spell = pair === null ? undefined : this.#openHere(pair).at(-1);
      if (pair === null || spell === undefined) return this.#app.rest();
      const moment: Moment = { is: 'open', at: this.#app.now(), spell };
      this.#show(id, pair, spell.stage, moment);
    });
  }

  /** The answer *yes* to the card's question. */
  answerYes(): Promise<void> {
    return this.#onQuestion(async (card, question) => {
      switch (question.ask) {
        case 'open-by-another':
          return this.#clockOut(card, question.spell);
        case 'set-aside':
          return this.#make(card, [takenUp(this.#app.making(), card.id)], (pair, made) =>
            this.#begin(card.id, pair, question.stage, undoOf(made)),
          );
        case 'open-elsewhere':
        case 'done-already':
        case 'closed':
          return this.#begin(card.id, card.pair, question.stage);
      }
    });
  }

  /** Takes on a pair that another hand has open here: their spell ends unfinished, ours begins. */
  takeOn(): Promise<void> {
    return this.#onQuestion(async (card, question) => {
      if (question.ask !== 'open-by-another') return;
      await this.#make(card, [this.#out(card.id, question.spell, 'not-finished')], (pair, made) =>
        this.#begin(card.id, pair, question.spell.stage, undoOf(made)),
      );
    });
  }

  /** Leaves the card; nothing is recorded. */
  leave(): Promise<void> {
    return this.#app.tap(() => this.#app.rest());
  }

  /** @param before records of the same act that came first: an undo takes them back as well */
  async #do(intent: PairIntent, pair: PairState | null, before: readonly RecordId[] = []): Promise<void> {
    switch (intent.do) {
      case 'clock-in':
        return this.#clockIn(intent.pair, pair, intent.stage, intent.unknownPair, before);
      case 'clock-out':
        return this.#clockOut({ id: intent.pair, pair, stage: intent.spell.stage }, intent.spell);
      case 'see-notes':
        return this.#show(intent.pair, pair, intent.stage, {
          is: 'see-notes',
          at: this.#app.now(),
          unseen: intent.unseen,
        });
      case 'stopped':
        return this.#show(intent.pair, pair, intent.stage, {
          is: 'stopped',
          at: this.#app.now(),
          by: intent.by,
        });
      case 'ask': {
        const { question } = intent;
        const stage = 'stage' in question ? question.stage : question.spell.stage;
        return this.#show(intent.pair, pair, stage, { is: 'asked', at: this.#app.now(), question });
      }
    }
  }

  #begin(
    id: PairId,
    pair: PairState | null,
    stage: StageCode,
    before: readonly RecordId[] = [],
  ): Promise<void> {
    const on = this.#app.making().by;
    if (on === null) return Promise.resolve(this.#app.rest());
    return this.#do(beginIntent(id, pair, stage, on), pair, before);
  }

  async #clockIn(
    id: PairId,
    pair: PairState | null,
    stage: StageCode,
    unknownPair: boolean,
    before: readonly RecordId[],
  ): Promise<void> {
    const drafts = [clockedIn(this.#app.making(), id, stage, unknownPair)];
    await this.#makeAndShow({ id, pair, stage }, drafts, (made, after) => {
      const spell = after.spells.find((candidate) => candidate.id === made[0]?.id);
      if (spell === undefined) throw new Error(`clock-in of ${id} did not open a spell`);
      return { is: 'clocked-in', at: spell.from, spell, undo: [...before, ...undoOf(made)] };
    });
  }

  async #clockOut(card: Pick<PairCard, 'id' | 'pair' | 'stage'>, spell: Spell): Promise<void> {
    if (spell.outcome !== 'open') return;
    await this.#makeAndShow(card, [this.#out(card.id, spell, 'done')], (made, after) => {
      const ended = after.spells.find((candidate) => candidate.id === spell.id) ?? spell;
      return { is: 'clocked-out', at: this.#app.now(), spell: ended, undo: undoOf(made) };
    });
  }

  #out(id: PairId, spell: Spell, outcome: 'done' | 'not-finished'): Draft {
    const closing = this.#app.view.book?.closingStage ?? spell.stage;
    return clockedOut(this.#app.making(), id, spell, outcome, closing);
  }

  /**
   * Ends the card's spell as not finished, if it has one. Said within seconds of clocking out as done, the *done* is
   * taken back first.
   */
  #endUnfinished(card: PairCard): readonly Draft[] {
    const spell = spellOf(card);
    const takenBack = card.moment.is === 'clocked-out' ? card.moment.undo : [];
    if (spell === null || !(spell.outcome === 'open' || takenBack.some((id) => id === spell.endedBy)))
      return [];
    return [
      ...takenBack.map((of) => voided(this.#app.making(), card.id, of, 'said otherwise')),
      this.#out(card.id, spell, 'not-finished'),
    ];
  }

  async #make(
    card: Pick<PairCard, 'id'>,
    drafts: readonly Draft[],
    after: (pair: PairState, made: readonly LedgerRecord[]) => Promise<void> | void,
  ): Promise<void> {
    await this.#app.record(drafts, async (made) => {
      if (made.some(({ kind }) => kind === 'voided')) await this.#app.refold();
      const pair = (await this.#app.pair(card.id)) ?? this.#app.pairWith(card.id, made);
      await after(pair, made);
    });
  }

  async #makeAndShow(
    card: Pick<PairCard, 'id' | 'pair' | 'stage'>,
    drafts: readonly Draft[],
    momentOf: (made: readonly LedgerRecord[], pair: PairState) => Moment,
  ): Promise<void> {
    await this.#app.record(drafts, async (made) => {
      if (made.some(({ kind }) => kind === 'voided')) await this.#app.refold();
      // The records were read a moment ago for the scan; what was made since is added, not read again.
      const pair = this.#app.pairWith(card.id, made);
      this.#show(card.id, pair, card.stage, momentOf(made, pair));
    });
  }

  #show(id: PairId, pair: PairState | null, stage: StageCode, moment: Moment): void {
    const { screen } = this.#app.view;
    const same = screen.is === 'card' && screen.card.id === id && screen.card.stage === stage;
    if (!same) this.#turn += 1;
    this.#app.showCard({ id, pair, stage, moment, turn: this.#turn, choosing: null });
  }

  /** A tap means the card that the finger saw: where another act has changed it since, the tap is void. */
  #onCard(act: (card: PairCard) => Promise<void> | void): Promise<void> {
    const { screen: shown } = this.#app.view;
    return this.#app.tap(async () => {
      await this.#app.retry();
      const { screen, unrecorded, on } = this.#app.view;
      if (unrecorded !== null || shown.is !== 'card' || screen.is !== 'card') return;
      if (screen.card.moment !== shown.card.moment) return;
      if (on === null)
        return this.#app.show({ hint: { is: 'refused', why: { is: 'badge-first', pair: screen.card.id } } });
      await act({ ...screen.card, pair: await this.#app.pair(screen.card.id) });
    });
  }

  /** What is open at this bench: another bench's spell is not ours to end. */
  #openHere(pair: PairState): readonly Spell[] {
    return openSpells(pair).filter(({ bench }) => bench === this.#app.enrolment?.bench);
  }

  #onSpell(act: (card: PairCard, spell: Spell) => Promise<void>): Promise<void> {
    return this.#onCard(async (card) => {
      const spell = spellOf(card);
      if (spell !== null) await act(card, spell);
    });
  }

  #onQuestion(act: (card: PairCard, question: Question) => Promise<void>): Promise<void> {
    return this.#onCard(async (card) => {
      if (card.moment.is === 'asked') await act(card, card.moment.question);
    });
  }
}

/** The spell that the card is about: open, or just now clocked out. */
function spellOf(card: PairCard): Spell | null {
  const { moment, pair } = card;
  return 'spell' in moment ? (pair?.spells.find(({ id }) => id === moment.spell.id) ?? null) : null;
}

/** What an undo takes back: acts on the pair, never what somebody has seen. */
function undoOf(made: readonly LedgerRecord[]): readonly RecordId[] {
  return made.filter(({ kind }) => kind !== 'voided' && kind !== 'note-seen').map(({ id }) => id);
}

/** The spell that was clocked out as done, where the card's next ending takes that back. */
function wasDone(card: PairCard): Spell | null {
  return card.moment.is === 'clocked-out' ? spellOf(card) : null;
}
