/** Notes made and cured at a bench, with photographs. */
import { stops } from '../../domain/fold/notes.ts';
import type { RecordId } from '../../domain/ids.ts';
import { raisedBy } from '../../domain/raise.ts';
import type { Draft, RecordOf } from '../../domain/record/kinds.ts';
import { wayOf } from '../../domain/way.ts';
import type { NewNote } from './acts.ts';
import type { CardWork } from './card-work.ts';
import type { Hint } from './screen.ts';

/** What came of keeping a photograph on this tablet. */
export type KeptPhoto =
  | ({ readonly is: 'kept' } & Pick<RecordOf<'pictured'>, 'photo' | 'bytes' | 'type'>)
  | { readonly is: 'not-a-picture' | 'too-large' | 'unreadable' | 'not-kept' };

export class NoteActs {
  readonly #work: CardWork;
  /** The note made last here, so that a photograph taken next belongs to it. */
  #latest: RecordId | null = null;

  constructor(work: CardWork) {
    this.#work = work;
  }

  /** A note that asks for more than the pair's way gives raises the owner's yes or a stage in the same act. */
  note(note: NewNote): Promise<void> {
    return this.#work.onCard(async (card) => {
      const { pair: state, id: pair, stage } = card;
      const { book } = this.#work.app.view;
      const noted = this.#work.draft('noted', {
        ...note,
        pair,
        seeAt: [...note.seeAt],
        cureAt: [...note.cureAt],
      });
      const way = state === null || book === null ? null : wayOf(state, book);
      const raised = raisedBy(note.weight, note.cureAt, way);
      const drafts: Draft[] = [noted];
      if (raised.is === 'owner')
        drafts.push(this.#work.draft('owner-asked', { pair, note: noted.id, why: note.text }));
      if (raised.is === 'stage')
        drafts.push(
          this.#work.draft('stage-asked', {
            pair,
            stages: [...raised.stages],
            note: noted.id,
            why: note.text,
          }),
        );
      // Whoever wrote it has seen it.
      drafts.push(this.#work.draft('note-seen', { pair, note: noted.id, stage }));
      this.#latest = noted.id;
      await this.#work.makeAndSay(card, drafts, {
        is: 'noted',
        raises: note.weight === 'stop' ? 'stop' : raised.is,
      });
    });
  }

  cured(note: RecordId): Promise<void> {
    return this.#work.onCard((card) => {
      const held = card.pair?.notes.find((one) => one.note.id === note);
      if (held === undefined || held.cured !== null || stops(held)) return;
      const cured = this.#work.draft('note-cured', { pair: card.id, note, stage: card.stage });
      return this.#work.makeAndSay(card, [cured], { is: 'cured' });
    });
  }

  /** Keeps the photograph first: a record must never name bytes that nobody has. */
  picture(file: Blob, keep: (file: Blob) => Promise<KeptPhoto>): Promise<void> {
    return this.#work.onCard(async (card) => {
      const kept = await keep(file);
      if (kept.is !== 'kept') {
        const hint: Hint = { is: 'no-picture', why: kept.is };
        return this.#work.app.show({ hint });
      }
      const { photo, bytes, type } = kept;
      // A note that could not be recorded and was left so is nobody's.
      const note = card.pair?.notes.find((one) => one.note.id === this.#latest)?.note.id ?? null;
      const pictured = this.#work.draft('pictured', { pair: card.id, photo, bytes, type, note });
      await this.#work.makeAndSay(card, [pictured], { is: 'pictured' });
    });
  }
}
