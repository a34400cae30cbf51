/** What scans and taps do to a pair, put together: the intents of scans come in here. */
import type { PairState } from '../../domain/fold/pair-state.ts';
import { BeginActs } from './begin-acts.ts';
import type { BenchApp, PairIntent } from './bench-app.ts';
import { CardWork, spellOf } from './card-work.ts';
import { EndActs } from './end-acts.ts';
import type { LaterActs } from './later-acts.ts';

type ReadLater = () => Promise<Pick<typeof import('./later-acts.ts'), 'LaterActs'>>;

export class PairActs {
  readonly begin: BeginActs;
  readonly end: EndActs;
  readonly #work: CardWork;
  readonly #readLater: ReadLater;
  #later: Promise<LaterActs> | null = null;

  /** @param readLater how the acts are read in that no first scan needs */
  constructor(app: BenchApp, readLater: ReadLater = () => import('./later-acts.ts')) {
    this.#readLater = readLater;
    this.#work = new CardWork(app);
    this.begin = new BeginActs(this.#work);
    this.end = new EndActs(this.#work, this.begin);
    this.#work.onEnd = (intent, pair) => this.#do(intent, pair);
    app.onPair = (intent, pair) => this.#do(intent, pair);
  }

  /** Acts that the page reads in once it works; asked for again, they are the same. */
  later(): Promise<LaterActs> {
    this.#later ??= this.#readLater().then((read) => new read.LaterActs(this.#work, this.end));
    return this.#later;
  }

  async #do(intent: PairIntent, pair: PairState | null): Promise<void> {
    const { app } = this.#work;
    switch (intent.do) {
      case 'clock-out':
        return this.end.clockOut({ id: intent.pair, pair, stage: intent.spell.stage }, intent.spell);
      case 'final-check':
        return (await this.later()).close.check(
          { id: intent.pair, pair, stage: intent.spell.stage },
          intent.spell,
        );
      case 'boxing':
        return (await this.later()).close.boxing(
          { id: intent.pair, pair, stage: intent.spell.stage },
          intent.spell,
        );
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
        return (await this.later()).many.rackPair(intent.rack, intent.pair);
      case 'open-rack':
        return (await this.later()).many.openRack(intent.rack);
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
        return (await this.later()).close.tagOn(card, 'scanned');
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
