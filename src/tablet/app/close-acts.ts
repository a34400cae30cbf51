/** The two stages that end with questions of their own: the final check, and boxing. */
import type { Spell } from '../../domain/fold/pair-state.ts';
import type { RecordId, StageCode } from '../../domain/ids.ts';
import { unrecordedBefore, wayOf } from '../../domain/way.ts';
import type { CardWork } from './card-work.ts';
import type { EndActs } from './end-acts.ts';
import type { Moment, PairCard, View } from './screen.ts';

export class CloseActs {
  readonly #work: CardWork;
  readonly #end: EndActs;

  constructor(work: CardWork, end: EndActs) {
    this.#work = work;
    this.#end = end;
  }

  /**
   * The second scan at the final check: what was felt for and compared is asked before the pair is clocked out. A scan
   * of the ticket on that card passes it, like its button.
   */
  async check(card: Pick<PairCard, 'id' | 'pair' | 'stage'>, spell: Spell): Promise<void> {
    const asked = this.#asked('checking', spell);
    if (asked !== null) return this.#pass({ ...asked, pair: card.pair }, null);
    const moment: Moment = { is: 'checking', at: this.#work.app.now(), spell, probe: false, board: false };
    this.#work.show(card.id, card.pair, card.stage, moment);
  }

  async boxing(card: Pick<PairCard, 'id' | 'pair' | 'stage'>, spell: Spell): Promise<void> {
    const asked = this.#asked('boxing', spell);
    if (asked !== null) return this.#box({ ...asked, pair: card.pair }, null);
    const moment: Moment = { is: 'boxing', at: this.#work.app.now(), spell, back: [], tag: null };
    this.#work.show(card.id, card.pair, card.stage, moment);
  }

  tick(what: 'probe' | 'board' | { readonly thing: string }): Promise<void> {
    return this.#work.onList((card) => {
      const { moment } = card;
      if (moment.is === 'checking' && typeof what === 'string')
        return this.#work.app.showCard({ ...card, moment: { ...moment, [what]: !moment[what] } });
      if (moment.is !== 'boxing' || typeof what === 'string') return;
      const back = moment.back.includes(what.thing)
        ? moment.back.filter((thing) => thing !== what.thing)
        : [...moment.back, what.thing];
      this.#work.app.showCard({ ...card, moment: { ...moment, back } });
    });
  }

  /** The second shoe's number: its own tag was scanned, or it was read by eye. */
  tag(tag: 'scanned' | 'by-eye'): Promise<void> {
    return this.#work.onCard((card) => this.tagOn(card, tag));
  }

  tagOn(card: PairCard, tag: 'scanned' | 'by-eye'): void {
    if (card.moment.is === 'boxing') this.#work.app.showCard({ ...card, moment: { ...card.moment, tag } });
  }

  pass(why: string | null): Promise<void> {
    return this.#work.onCard((card) => this.#pass(card, why));
  }

  box(why: string | null): Promise<void> {
    return this.#work.onCard((card) => this.#box(card, why));
  }

  /** Passing with a note not cured or a stage without a record needs a reason. */
  async #pass(card: PairCard, why: string | null): Promise<void> {
    const { moment, id: pair, stage } = card;
    if (moment.is !== 'checking' || !(moment.probe && moment.board)) return this.#work.app.showCard(card);
    const stands = this.#end.standsBeforeEnd(card, moment.spell);
    if (stands !== null) return stands();
    const { openNotes, unrecorded } = openAtCheck(card, this.#work.app.view);
    if (why === null && openNotes.length + unrecorded.length > 0)
      return this.#work.app.showCard({ ...card, choosing: { is: 'pass-open' } });
    const { probe, board, spell } = moment;
    const said = { openNotes: [...openNotes], unrecorded: [...unrecorded], why };
    const checked = this.#work.draft('checked', { pair, stage, probe, board, ...said });
    await this.#end.clockOut(card, spell, [checked]);
  }

  /** Boxing with something of the owner's missing needs a reason. */
  async #box(card: PairCard, why: string | null): Promise<void> {
    const { moment, id: pair } = card;
    if (moment.is !== 'boxing' || moment.tag === null) return this.#work.app.showCard(card);
    const stands = this.#end.standsBeforeEnd(card, moment.spell);
    if (stands !== null) return stands();
    const things = thingsOf(card).map((thing) => ({ thing, back: moment.back.includes(thing) }));
    if (why === null && things.some(({ back }) => !back))
      return this.#work.app.showCard({ ...card, choosing: { is: 'pass-open' } });
    const boxed = this.#work.draft('boxed', { pair, things, tag: moment.tag, why });
    await this.#end.clockOut(card, moment.spell, [boxed]);
  }

  /** The card, where it asks this already of the same spell. */
  #asked(is: 'checking' | 'boxing', spell: Spell): PairCard | null {
    const { screen } = this.#work.app.view;
    if (screen.is !== 'card' || screen.card.moment.is !== is) return null;
    return screen.card.moment.spell.id === spell.id ? screen.card : null;
  }
}

/** What stands open at the final check: notes not cured, and stages before it without a record. */
export function openAtCheck(
  { pair, stage }: Pick<PairCard, 'pair' | 'stage'>,
  { book }: Pick<View, 'book'>,
): { readonly openNotes: readonly RecordId[]; readonly unrecorded: readonly StageCode[] } {
  if (pair === null) return { openNotes: [], unrecorded: [] };
  const way = book === null ? null : wayOf(pair, book);
  return {
    openNotes: pair.notes.filter(({ cured }) => cured === null).map(({ note }) => note.id),
    unrecorded: way === null ? [] : unrecordedBefore(way, stage),
  };
}

/** What came with the pair and goes back with it. */
export function thingsOf({ pair }: Pick<PairCard, 'pair'>): readonly string[] {
  return [...new Set(pair?.logged?.withPair ?? [])];
}
