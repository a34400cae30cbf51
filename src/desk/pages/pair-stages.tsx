/** What was done on a pair, when and by whom, and what is left in the usual order. */
import type { PairState } from '../../domain/fold/pair-state.ts';
import type { Done, DoneAtDesk, Left, Whereabouts } from '../../domain/whereabouts.ts';
import { when } from '../../words/format.ts';
import { type Naming, stageWords } from '../../words/whereabouts.ts';
import { handShown, onShoe, stageShown } from '../../words/whereabouts-account.ts';

interface Props {
  readonly state: PairState;
  readonly where: Whereabouts;
  readonly naming: Naming;
}

export function PairStages({ state, where, naming }: Props) {
  const { done, doneAtDesk, left, place } = where;
  return (
    <section class="pair-stages" aria-labelledby="pair-done">
      <h3 id="pair-done">{stageWords.done}</h3>
      {done.length + doneAtDesk.length === 0 && <p class="desk-calm">{stageWords.noneDone}</p>}
      <ol class="pair-done">
        {doneAtDesk.map((one) => (
          <AtDeskRow key={one.stage} done={one} naming={naming} />
        ))}
        {done.map((one) => (
          <DoneRow key={one.spell.id} done={one} naming={naming} />
        ))}
      </ol>
      <h3>{stageWords.left}</h3>
      {left === null && place.is !== 'out' && <p class="desk-calm">{stageWords.noRoute}</p>}
      {left?.length === 0 && <p class="desk-calm">{stageWords.noneLeft}</p>}
      {left !== null && left.length > 0 && (
        <ol class="pair-left">
          {left.map((one) => (
            <LeftRow key={one.stage} left={one} naming={naming} />
          ))}
        </ol>
      )}
      {state.notNeeded.length > 0 && <NotNeeded state={state} naming={naming} />}
    </section>
  );
}

function AtDeskRow({
  done: { stage, at, by },
  naming,
}: {
  readonly done: DoneAtDesk;
  readonly naming: Naming;
}) {
  const { book, now } = naming;
  return (
    <li>
      <b>{stageShown(book, stage)}</b>
      <span>{by === null ? stageWords.atDesk : handShown(book, by)}</span>
      <span class="pair-when">{when(at, now, book.timeZone)}</span>
    </li>
  );
}

function DoneRow({ done: { spell, again }, naming }: { readonly done: Done; readonly naming: Naming }) {
  const { book, now } = naming;
  const { stage, shoe, by, joined, from, to, endedBy, id, timed } = spell;
  // One that nobody scanned has neither a hand nor a beginning.
  const unscanned = endedBy === id;
  return (
    <li class={again ? 'pair-again' : ''}>
      <b>
        {stageShown(book, stage)}
        {onShoe(shoe)}
      </b>
      <span>
        {unscanned
          ? stageWords.unscanned
          : [by, ...joined.map(({ hand }) => hand)].map((hand) => handShown(book, hand)).join(', ')}
      </span>
      <span class="pair-when">
        {when(to ?? from, now, book.timeZone)}
        {!timed && !unscanned && `, ${stageWords.saidLater}`}
      </span>
      {again && <em>{stageWords.again}</em>}
    </li>
  );
}

function LeftRow({ left: { stage, is, missing }, naming }: { readonly left: Left; readonly naming: Naming }) {
  const { book } = naming;
  const after = missing.map((code) => stageShown(book, code));
  return (
    <li class={`pair-${is}`}>
      <b>{stageShown(book, stage)}</b>
      <span>{is === 'later' ? stageWords.after(after) : stageWords.is[is]}</span>
    </li>
  );
}

function NotNeeded({ state, naming }: Pick<Props, 'state' | 'naming'>) {
  const { book, now } = naming;
  return (
    <>
      <h3>{stageWords.notNeeded}</h3>
      <ul class="pair-done">
        {state.notNeeded.map(({ id, stage, by, at, why }) => (
          <li key={id}>
            <b>{stageShown(book, stage)}</b>
            <span dir="auto">{why}</span>
            <span class="pair-when">
              {handShown(book, by)}, {when(at, now, book.timeZone)}
            </span>
          </li>
        ))}
      </ul>
    </>
  );
}
