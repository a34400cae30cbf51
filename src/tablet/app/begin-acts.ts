/** Beginning work on a pair: its questions, reminders and notes are answered one by one, then it is clocked in. */
import { type Begin, type BeginIntent, beginIntent, hurdleOf, type Question } from '../../domain/begin.ts';
import { hasSeen, stops } from '../../domain/fold/notes.ts';
import type { PairState, Spell } from '../../domain/fold/pair-state.ts';
import { shareAShoe } from '../../domain/fold/spells.ts';
import type { OperativeId, RecordId, StageCode } from '../../domain/ids.ts';
import { stageHere } from '../../domain/intent.ts';
import type { Draft } from '../../domain/record/kinds.ts';
import { lastOf } from '../../domain/way.ts';
import { lateWords } from '../../words/questions.ts';
import type { Answer } from './acts.ts';
import { type CardWork, undoOf } from './card-work.ts';
import { endCanBeTold, lateStages } from './late.ts';
import type { Moment, PairCard } from './screen.ts';

type Before = Extract<Moment, { readonly begin: Begin }>;

export class BeginActs {
  readonly #work: CardWork;

  constructor(work: CardWork) {
    this.#work = work;
  }

  /** @param before records of the same act that came first: an undo takes them back as well */
  async do(intent: BeginIntent, before: readonly RecordId[] = []): Promise<void> {
    const { begin } = intent;
    const at = this.#work.app.now();
    const show = (moment: PairCard['moment']) => this.#work.show(begin.id, begin.pair, begin.stage, moment);
    switch (intent.do) {
      case 'clock-in':
        return this.#clockIn(begin, intent.unknownPair, before);
      case 'see-notes':
        return show({ is: 'see-notes', at, begin, before, unseen: intent.unseen });
      case 'show-reminders':
        return show({ is: 'reminders', at, begin, before });
      case 'stopped':
        return show({ is: 'stopped', at, begin, before, by: intent.by });
      case 'ask':
        return show({ is: 'asked', at, begin, before, question: intent.question });
    }
  }

  /** Goes on to begin, with the pair as it is by now. */
  async begin(begin: Begin, pair: PairState | null, before: readonly RecordId[] = []): Promise<void> {
    const on = this.#work.app.making().by;
    if (on === null) return this.#work.app.rest();
    const fresh: Begin = { ...begin, pair, on };
    const spell = this.#begunBy(fresh);
    if (spell !== undefined)
      return this.#work.show(begin.id, pair, spell.stage, { is: 'open', at: this.#work.app.now(), spell });
    return this.do(beginIntent(fresh, await this.#work.app.placeFor(pair)), before);
  }

  /** The same hand goes on with the next stage here. */
  nextStage(): Promise<void> {
    return this.#work.onCard(async ({ id, pair, moment }) => {
      const on = this.#work.app.making().by;
      if (moment.is !== 'clocked-out' || moment.next === null || on === null) return;
      const { shoe } = moment.spell;
      await this.begin({ id, pair, stage: moment.next, shoe, on, settled: new Set() }, pair);
    });
  }

  /** A note on the card was tapped *Seen*; after the last one the pair is clocked in. */
  seen(note: RecordId): Promise<void> {
    return this.#work.onCard(async (card) => {
      const on = this.#work.app.making().by;
      const held = card.pair?.notes.find((one) => one.note.id === note);
      if (held === undefined || on === null || hasSeen(held, on, card.stage)) return;
      const seen = this.#work.draft('note-seen', { pair: card.id, note, stage: card.stage });
      await this.#work.make(card, [seen], (pair) =>
        // A note that came in while the pair is worked is only seen; nothing begins anew.
        card.moment.is === 'see-notes'
          ? this.begin(card.moment.begin, pair, card.moment.before)
          : this.#work.app.showCard({ ...card, pair }),
      );
    });
  }

  /** The stage's reminders were looked at, before the machine runs. */
  looked(): Promise<void> {
    return this.#work.onCard(async (card) => {
      const { moment } = card;
      if (moment.is !== 'reminders') return;
      const wording = this.#work.app.view.book?.reminders.version ?? 0;
      const shown = this.#work.draft('reminders-shown', { stage: card.stage, wording });
      await this.#work.app.record([shown], () => this.#beginAnew(moment));
    });
  }

  answer(answer: Answer): Promise<void> {
    return this.#onQuestion(async (card, begin, question) => {
      const settled: Begin = { ...begin, settled: new Set([...begin.settled, question.ask]) };
      switch (answer) {
        case 'yes':
          return this.#yes(card, settled, question);
        case 'beside':
          return this.begin(settled, card.pair, beforeOf(card));
        case 'take-on':
          return question.ask === 'open-by-another' ? this.#takeOn(card, settled, question) : undefined;
        case 'together':
          return this.#goOn(card, [this.#work.draft('rejoined', { pair: card.id })], {
            ...begin,
            shoe: 'both',
          });
        case 'ended':
          return question.ask === 'open-elsewhere' ? this.#endedThere(card, settled, question) : undefined;
        case 'left':
        case 'right': {
          // The shoe that is ahead may be here for another stage than the one behind.
          const stage = stageHere(card.pair, answer, this.#work.app.view) ?? settled.stage;
          return this.begin({ ...settled, stage, shoe: answer }, card.pair, beforeOf(card));
        }
      }
    });
  }

  /** Done, and nobody scanned: the missing stages are recorded with the reason, without a time or a hand. */
  late(why: string): Promise<void> {
    return this.#onQuestion(async (card, begin, question) => {
      if (question.ask !== 'not-due') return;
      const stages = lateStages(card, this.#work.app.view);
      const drafts = stages.map((stage) =>
        this.#work.draft('done-unscanned', { pair: card.id, stage, shoe: begin.shoe, why }),
      );
      await this.#goOn(
        card,
        [...drafts, ...(begin.shoe === 'both' ? this.#lastAfter(card, stages) : [])],
        begin,
      );
    });
  }

  /** Where re-lasting or slipping was done unseen, the pair of lasts was taken or freed with it. */
  #lastAfter({ id: pair, pair: state }: PairCard, stages: readonly StageCode[]): readonly Draft[] {
    const { ways } = this.#work.app.view.book ?? {};
    if (ways === undefined || state?.details == null) return [];
    const isLate = (stage: StageCode | null) => stage !== null && stages.includes(stage);
    if (isLate(ways.lastTo))
      return state.last === null ? [] : [this.#work.draft('last-freed', { pair, last: state.last })];
    return isLate(ways.lastFrom)
      ? [this.#work.draft('last-taken', { pair, last: lastOf(state.details) })]
      : [];
  }

  /** A supervisor, whose badge was scanned, lets the pair past what the card asks. */
  letThrough(why: string): Promise<void> {
    return this.#bySupervisor(async (card, begin, question, by) => {
      const past = hurdleOf(question);
      if (past === null) return;
      const word = { pair: card.id, stage: question.stage, past, why, hand: begin.on };
      await this.#goOn(card, [this.#work.draft('let-through', word, by)], begin);
    });
  }

  /** This pair does not need the stage: said by a named person. */
  notNeeded(stage: StageCode): Promise<void> {
    return this.#bySupervisor((card, begin, _question, by) =>
      this.#goOn(
        card,
        [this.#work.draft('not-needed', { pair: card.id, stage, why: lateWords.notNeeded }, by)],
        begin,
      ),
    );
  }

  /** This pair does need the stage, though its job does not take it. */
  needed(): Promise<void> {
    return this.#bySupervisor((card, begin, { stage }, by) => {
      const word = { pair: card.id, stages: [stage], note: null, why: lateWords.needed };
      return this.#goOn(card, [this.#work.draft('stage-asked', word, by)], begin);
    });
  }

  machineBack(stage: StageCode): Promise<void> {
    return this.#bySupervisor(async (card, begin, _question, by) => {
      const where = this.#work.app.making().bench;
      const back = this.#work.draft('machine-back', { where, stage, why: lateWords.machineBack }, by);
      await this.#work.app.record([back], async () => {
        await this.#work.app.readMachines();
        await this.#beginAnew({ begin, before: beforeOf(card) });
      });
    });
  }

  /** A supervisor has looked at what stops the pair. */
  release(why: string): Promise<void> {
    return this.#work.onCard(async (card) => {
      const { moment, choosing } = card;
      if (choosing?.is !== 'release') return;
      const drafts = (card.pair?.notes ?? [])
        .filter(stops)
        .map(({ note }) =>
          this.#work.draft('note-released', { pair: card.id, note: note.id, why }, choosing.by),
        );
      if (moment.is === 'stopped') await this.#goOn(card, drafts, moment.begin);
      else await this.#work.makeAndSay(card, drafts, { is: 'released' });
    });
  }

  /** A released hand answers for the work of whoever is on. */
  async answerFor(hand: OperativeId): Promise<void> {
    const { screen } = this.#work.app.view;
    if (screen.is !== 'card' || screen.card.moment.is !== 'asked') return;
    const { begin, before, question } = screen.card.moment;
    const settled = new Set([...begin.settled, question.ask]);
    await this.#beginAnew({ begin: { ...begin, settled, answers: hand }, before });
  }

  async #yes(card: PairCard, settled: Begin, question: Question): Promise<void> {
    switch (question.ask) {
      case 'open-by-another':
        return card.pair === null ? undefined : this.#work.endAsked(card.pair, question.spell);
      case 'set-aside':
        return this.#goOn(card, [this.#work.draft('taken-up', { pair: card.id })], settled);
      default:
        return this.begin(settled, card.pair, beforeOf(card));
    }
  }

  /** Their spell ends unfinished, ours begins. */
  #takeOn(
    card: PairCard,
    begin: Begin,
    { spell }: Extract<Question, { ask: 'open-by-another' }>,
  ): Promise<void> {
    return this.#goOn(card, this.#work.out(card.id, spell, 'not-finished', card.pair), begin);
  }

  /** Nobody scanned when it ended there: the time is not known. */
  #endedThere(
    card: PairCard,
    begin: Begin,
    { spell }: Extract<Question, { ask: 'open-elsewhere' }>,
  ): Promise<void> {
    if (!endCanBeTold(spell.stage, this.#work.app.view.book)) return Promise.resolve();
    return this.#goOn(card, this.#work.out(card.id, spell, 'done', card.pair, false), begin);
  }

  #goOn(card: PairCard, drafts: readonly Draft[], begin: Begin): Promise<void> {
    return this.#work.make(card, drafts, (pair, made) =>
      this.begin(begin, pair, [...beforeOf(card), ...undoOf(made)]),
    );
  }

  /** With the pair as the store has it now: an act that is tried again may come long after its tap. */
  async #beginAnew({ begin, before }: Pick<Before, 'begin' | 'before'>): Promise<void> {
    await this.begin(begin, await this.#work.app.pair(begin.id), before);
  }

  /** What this hand has begun of it here already, in another window of this tablet. */
  #begunBy({ pair, shoe, on }: Begin): Spell | undefined {
    if (pair === null) return undefined;
    return this.#work.openHere(pair).findLast((spell) => spell.by === on && shareAShoe(spell.shoe, shoe));
  }

  async #clockIn(begin: Begin, unknownPair: boolean, before: readonly RecordId[]): Promise<void> {
    const { id, pair, stage, shoe, answers } = begin;
    const clockedIn = this.#work.draft('clocked-in', { pair: id, stage, shoe, unknownPair });
    // By its own ticket it was taken off its rack: the rack's next touch must not mean it.
    const rack = pair?.rack ?? null;
    const drafts: Draft[] = [
      ...(rack === null ? [] : [this.#work.draft('unracked', { pair: id, rack })]),
      clockedIn,
    ];
    if (answers !== undefined)
      drafts.push(
        this.#work.draft('hand-joined', { pair: id, of: clockedIn.id, hand: answers, as: 'answers' }),
      );
    const last = pair?.details == null ? null : lastOf(pair.details);
    if (last !== null && stage === this.#work.app.view.book?.ways.lastFrom && pair?.last !== last)
      drafts.push(this.#work.draft('last-taken', { pair: id, last }));
    await this.#work.makeAndShow(
      { id, stage },
      drafts,
      (made, after) => {
        const spell = after.spells.find((candidate) => candidate.id === clockedIn.id);
        if (spell === undefined) throw new Error(`clock-in of ${id} did not open a spell`);
        return { is: 'clocked-in', at: spell.from, spell, undo: [...before, ...undoOf(made)] };
      },
      // A note may have come in between the failure and the next try: then it stands before the work again.
      async () => {
        const fresh: Begin = { ...begin, pair: await this.#work.app.pair(id) };
        const intent = beginIntent(fresh, await this.#work.app.placeFor(fresh.pair));
        const stillBegins = intent.do === 'clock-in' && this.#begunBy(fresh) === undefined;
        return stillBegins ? null : () => this.begin(begin, fresh.pair, before);
      },
    );
  }

  #onQuestion(
    act: (card: PairCard, begin: Begin, question: Question) => Promise<void> | undefined,
  ): Promise<void> {
    return this.#work.onCard(async (card) => {
      const { moment } = card;
      if (moment.is === 'asked') await act(card, moment.begin, moment.question);
    });
  }

  #bySupervisor(
    act: (card: PairCard, begin: Begin, question: Question, by: OperativeId) => Promise<void>,
  ): Promise<void> {
    return this.#onQuestion(async (card, begin, question) => {
      if (card.choosing?.is === 'let-through') await act(card, begin, question, card.choosing.by);
    });
  }
}

/** Records of the same act that came before what the card shows. */
function beforeOf({ moment }: PairCard): readonly RecordId[] {
  return 'before' in moment ? moment.before : [];
}
