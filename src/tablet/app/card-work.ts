/** What all acts on a card share: their turn, the making of records, and the card that says so. */
import type { Said } from '../../domain/drafts.ts';
import { clockedOut, correctedInstant, draft } from '../../domain/drafts.ts';
import type { PairState, Spell } from '../../domain/fold/pair-state.ts';
import { isDone, openSpells, shareAShoe } from '../../domain/fold/spells.ts';
import type { OperativeId, PairId, RecordId, StageCode } from '../../domain/ids.ts';
import { type EndIntent, endIntent } from '../../domain/intent.ts';
import { type Draft, type LedgerRecord, type RecordKind, SIDES } from '../../domain/record/kinds.ts';
import type { BenchApp } from './bench-app.ts';
import type { RecordedAct } from './recorder.ts';
import type { Hint, Moment, PairCard } from './screen.ts';

export class CardWork {
  readonly app: BenchApp;
  #turn = 0;

  constructor(app: BenchApp) {
    this.app = app;
  }

  /** Does what stands at the end of a spell; set by `pair-acts.ts`. */
  onEnd: ((intent: EndIntent, pair: PairState) => Promise<void>) | null = null;

  /** Ends a spell as a second scan would: with what has to be seen, felt for or said first. */
  async endAsked(pair: PairState, spell: Spell): Promise<void> {
    const on = this.app.making().by;
    if (on === null) return this.app.rest();
    const { book } = this.app.view;
    const shiftFrom = this.app.shiftFrom();
    const intent = endIntent(pair, spell, on, { book, ...(shiftFrom === null ? {} : { shiftFrom }) });
    await this.onEnd?.(intent, pair);
  }

  draft<Kind extends RecordKind>(kind: Kind, said: Said<Kind>, by?: OperativeId): Draft<Kind> {
    return draft(by === undefined ? this.app.making() : this.app.making(by), kind, said);
  }

  /**
   * Ends a spell; a pair of lasts that comes out with the stage is free again.
   * @param timed whether it ends just now: of a spell from before this shift nobody knows
   */
  out(
    id: PairId,
    spell: Spell,
    outcome: 'done' | 'not-finished',
    pair: PairState | null,
    timed = spell.from >= (this.app.shiftFrom() ?? spell.from),
  ): readonly Draft[] {
    const { book } = this.app.view;
    const closing = book?.closingStage ?? spell.stage;
    const ended = clockedOut(this.app.making(), id, spell, outcome, closing, timed);
    const last = pair?.last ?? null;
    // The pair of lasts is free when both shoes are off it.
    const bothOff = SIDES.every(
      (side) => shareAShoe(spell.shoe, side) || (pair !== null && isDone(pair, spell.stage, side)),
    );
    const freed = outcome === 'done' && last !== null && bothOff && spell.stage === book?.ways.lastTo;
    // The work's end comes last: by the last record that was made of it a pair is found, and this one names the stage.
    return freed ? [this.draft('last-freed', { pair: id, last }), ended] : [ended];
  }

  taken(id: PairId, of: readonly RecordId[], why: string): readonly Draft[] {
    return of.map((record) => this.draft('voided', { pair: id, of: record, why }));
  }

  /** The drafts that say once more what these records said, now and by whoever is on. */
  async again(id: PairId, of: readonly RecordId[]): Promise<readonly Draft[]> {
    const { wall, by, newId } = this.app.making();
    const held = await this.app.ledger.recordsOfPair(id);
    return held
      .map(({ record }) => record)
      .filter((record) => of.includes(record.id))
      .map(({ seq: _, seen: __, ...said }) => ({
        ...said,
        id: newId(),
        by,
        wall,
        at: correctedInstant(wall),
      }));
  }

  /** Records, reads the pair anew, and goes on. */
  async make(
    card: Pick<PairCard, 'id'>,
    drafts: readonly Draft[],
    after: (pair: PairState, made: readonly LedgerRecord[]) => Promise<void> | void,
  ): Promise<void> {
    await this.app.record(drafts, async (made) => {
      if (made.some(({ kind }) => kind === 'voided')) await this.app.refold();
      const pair = (await this.app.pair(card.id)) ?? this.app.pairWith(card.id, made);
      await after(pair, made);
    });
  }

  /** Records and shows what has happened, with the pair as it was read for the scan and what was made since. */
  async makeAndShow(
    card: Pick<PairCard, 'id' | 'stage'>,
    drafts: readonly Draft[],
    momentOf: (made: readonly LedgerRecord[], pair: PairState) => Moment,
    instead?: RecordedAct['instead'],
  ): Promise<void> {
    await this.app.record(
      drafts,
      async (made) => {
        if (made.some(({ kind }) => kind === 'voided')) await this.app.refold();
        const pair = this.app.pairWith(card.id, made);
        this.show(card.id, pair, card.stage, momentOf(made, pair));
      },
      instead,
    );
  }

  /** Records something about the pair that leaves its card as it stands, and says so. */
  makeAndSay(card: PairCard, drafts: readonly Draft[], hint: Hint): Promise<void> {
    return this.make(card, drafts, (pair) => {
      this.app.showCard({ ...card, pair, choosing: null });
      this.app.show({ hint });
    });
  }

  show(id: PairId, pair: PairState | null, stage: StageCode, moment: Moment): void {
    const { screen } = this.app.view;
    const same = screen.is === 'card' && screen.card.id === id && screen.card.stage === stage;
    if (!same) this.#turn += 1;
    this.app.showCard({ id, pair, stage, moment, turn: this.#turn, choosing: null });
  }

  /** A tap means the card that the finger saw: where another act has changed it since, the tap is void. */
  onCard(act: (card: PairCard) => Promise<void> | void): Promise<void> {
    const { screen: shown } = this.app.view;
    return this.app.tap(async () => {
      await this.app.retry();
      const { screen, unrecorded, on } = this.app.view;
      if (unrecorded !== null || shown.is !== 'card' || screen.is !== 'card') return;
      if (screen.card.moment !== shown.card.moment || screen.card.choosing !== shown.card.choosing) return;
      if (on === null)
        return this.app.show({ hint: { is: 'refused', why: { is: 'badge-first', pair: screen.card.id } } });
      await act({ ...screen.card, pair: await this.app.pair(screen.card.id) });
    });
  }

  /**
   * A tick on a list of the card: two boxes touched in quick succession are two ticks, though the second finger saw the
   * card from before the first.
   */
  onList(act: (card: PairCard) => void): Promise<void> {
    const { screen: shown } = this.app.view;
    return this.app.tap(() => {
      const { screen, unrecorded, on } = this.app.view;
      if (unrecorded !== null || on === null || shown.is !== 'card' || screen.is !== 'card') return;
      const same = screen.card.id === shown.card.id && screen.card.moment.is === shown.card.moment.is;
      if (same && screen.card.choosing === null) act(screen.card);
    });
  }

  /** What is open at this bench: another bench's spell is not ours to end. */
  openHere(pair: PairState): readonly Spell[] {
    return openSpells(pair).filter(({ bench }) => bench === this.app.enrolment?.bench);
  }
}

/** The spell that the card is about: open, or just now clocked out. */
export function spellOf({ moment, pair }: PairCard): Spell | null {
  return 'spell' in moment ? (pair?.spells.find(({ id }) => id === moment.spell.id) ?? null) : null;
}

/** What an undo takes back: acts on the pair, never what somebody has seen. */
export function undoOf(made: readonly LedgerRecord[]): readonly RecordId[] {
  return made.filter(({ kind }) => kind !== 'voided' && kind !== 'note-seen').map(({ id }) => id);
}
