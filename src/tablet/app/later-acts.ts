/** The acts that no first scan needs: notes made here, the final check and boxing, many pairs at one touch. */
import type { CardWork } from './card-work.ts';
import { CloseActs } from './close-acts.ts';
import type { EndActs } from './end-acts.ts';
import { ManyActs } from './many-acts.ts';
import { NoteActs } from './note-acts.ts';

export class LaterActs {
  readonly notes: NoteActs;
  readonly close: CloseActs;
  readonly many: ManyActs;

  constructor(work: CardWork, end: EndActs) {
    this.notes = new NoteActs(work);
    this.close = new CloseActs(work, end);
    this.many = new ManyActs(work);
  }
}
