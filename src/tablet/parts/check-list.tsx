/** The final check's and boxing's own lists: what is ticked, and what stands open. */
import './panels.css';

import { checkLabels } from '../../words/choices.ts';
import { weightNames } from '../../words/names.ts';
import { stageName } from '../app/bar-parts.ts';
import { openAtCheck, thingsOf } from '../app/close-acts.ts';
import type { CardProps } from './card-props.ts';

export function CheckList(props: CardProps) {
  return props.card.moment.is === 'boxing' ? <Boxing {...props} /> : <Checking {...props} />;
}

function Checking({ card, view, acts }: CardProps) {
  if (card.moment.is !== 'checking') return null;
  const { probe, board } = card.moment;
  const { openNotes, unrecorded } = openAtCheck(card, view);
  const notes = card.pair?.notes.filter(({ note }) => openNotes.includes(note.id)) ?? [];
  return (
    <section class="check-list">
      <Tick on={probe} label={checkLabels.probe} onTick={() => acts.tick('probe')} />
      <Tick on={board} label={checkLabels.board} onTick={() => acts.tick('board')} />
      {notes.length + unrecorded.length === 0 ? <p class="quiet">{checkLabels.nothingOpen}</p> : null}
      {notes.length === 0 ? null : (
        <>
          <h3 class="section">{checkLabels.openNotes}</h3>
          <ul class="open-things">
            {notes.map(({ note }) => (
              <li key={note.id}>
                <bdi>{note.text}</bdi> · {weightNames[note.weight]}
              </li>
            ))}
          </ul>
        </>
      )}
      {unrecorded.length === 0 ? null : (
        <>
          <h3 class="section">{checkLabels.unrecorded}</h3>
          <p>{unrecorded.map((stage) => stageName(view, stage)).join(', ')}</p>
        </>
      )}
    </section>
  );
}

function Boxing({ card, acts }: CardProps) {
  if (card.moment.is !== 'boxing') return null;
  const { back, tag } = card.moment;
  const things = thingsOf(card);
  const words = { scanned: checkLabels.tagScanned, 'by-eye': checkLabels.tagByEye };
  return (
    <section class="check-list">
      <p class={tag === null ? 'tag-state' : 'tag-state known'}>
        {tag === null ? checkLabels.tagNotYet : `✓ ${words[tag]}`}
      </p>
      <h3 class="section">{checkLabels.things}</h3>
      {things.length === 0 ? <p class="quiet">{checkLabels.nothingCame}</p> : null}
      {things.map((thing) => (
        <Tick key={thing} on={back.includes(thing)} label={thing} onTick={() => acts.tick({ thing })} />
      ))}
    </section>
  );
}

interface TickProps {
  readonly on: boolean;
  readonly label: string;
  readonly onTick: () => void;
}

function Tick({ on, label, onTick }: TickProps) {
  return (
    <button type="button" class="button tick" aria-pressed={on} onClick={onTick}>
      <svg width="44" height="44" viewBox="0 0 44 44" aria-hidden="true">
        <path d="M4 4h36v36H4z" fill="none" stroke="currentColor" stroke-width="4" />
        {on ? <path d="M11 23l8 8 15-18" fill="none" stroke="currentColor" stroke-width="6" /> : null}
      </svg>
      <bdi>{label}</bdi>
    </button>
  );
}
