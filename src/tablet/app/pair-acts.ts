/** What scans and taps do to a pair, put together: the intents of scans come in here. */
import type { PairState } from '../../domain/fold/pair-state.ts';
import { BeginActs } from './begin-acts.ts';
import type { BenchApp, PairIntent } from './bench-app.ts';
import { CardWork, spellOf } from './card-work.ts';
import { CloseActs } from './close-acts.ts';
import { EndActs } from './end-acts.ts';
import { ManyActs } from './many-acts.ts';
import { NoteActs } from './note-acts.ts';

export class PairActs {
  readonly begin: BeginActs;
  readonly end: EndActs;
  readonly notes: NoteActs;
  readonly close: CloseActs;
  readonly many: ManyActs;
  readonly #work: CardWork;

  constructor(app: BenchApp) {
    this.#work = new CardWork(app);
    this.begin = new BeginActs(this.#work);
    this.end = new EndActs(this.#work, this.begin);
    this.notes = new NoteActs(this.#work);
    this.close = new CloseActs(this.#work, this.end);
    this.many = new ManyActs(this.#work);
    this.#work.onEnd = (intent, pair) => this.#do(intent, pair);
    app.onPair = (intent, pair) => this.#do(intent, pair);
  }

  async #do(intent: PairIntent, pair: PairState | null): Promise<void> {
    const { app } = this.#work;
    switch (intent.do) {
      case 'clock-out':
        return this.end.clockOut({ id: intent.pair, pair, stage: intent.spell.stage }, intent.spell);
      case 'final-check':
        return this.close.check({ id: intent.pair, pair, stage: intent.spell.stage }, intent.spell);
      case 'boxing':
        return this.close.boxing({ id: intent.pair, pair, stage: intent.spell.stage }, intent.spell);
      case 'notes-came-in':
        return this.#work.show(intent.pair, pair, intent.spell.stage, {
          is: 'open',
          at: app.now(),
          spell: intent.spell,
        });
      case 'end-unknown':
        return this.#work.show(intent.pair, pair, intent.spell.stage, {
          is: 'forgotten',
          at: app.now(),
          spell: intent.spell,
        });
      case 'found-here':
        return this.end.found(intent.pair);
      case 'rack-pair':
        return this.many.rackPair(intent.rack, intent.pair);
      case 'open-rack':
        return this.many.openRack(intent.rack);
      case 'tag-matches':
      case 'let-through':
      case 'release':
      case 'answer-for':
      case 'join':
        return this.#onCard(intent);
      default:
        return this.begin.do(intent);
    }
  }

  /** Answers to what the card on the screen is waiting for. */
  async #onCard(
    intent: Extract<PairIntent, { do: 'tag-matches' | 'let-through' | 'release' | 'answer-for' | 'join' }>,
  ): Promise<void> {
    const { app } = this.#work;
    const { screen } = app.view;
    if (screen.is !== 'card') return;
    const { card } = screen;
    switch (intent.do) {
      case 'tag-matches':
        return this.close.tagOn(card, 'scanned');
      case 'let-through':
      case 'release':
        return app.showCard({ ...card, choosing: { is: intent.do, by: intent.by } });
      case 'answer-for':
        return this.begin.answerFor(intent.hand);
      case 'join': {
        const spell = spellOf(card);
        if (spell === null) return;
        const joined = this.#work.draft('hand-joined', {
          pair: card.id,
          of: spell.id,
          hand: intent.hand,
          as: 'beside',
        });
        return this.#work.makeAndSay(card, [joined], {
          is: 'joined',
          name: app.name(intent.hand),
          as: 'beside',
        });
      }
    }
  }
}
