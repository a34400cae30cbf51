/** Sending a pair, or one shoe of it, back: by what went wrong, or straight to a stage. It names places, not people. */
import { FAULTS, type Fault } from '../../domain/catalogue/faults.ts';
import { isDone } from '../../domain/fold/spells.ts';
import type { StageCode } from '../../domain/ids.ts';
import { SHOES, type Shoe } from '../../domain/record/kinds.ts';
import { sendBackReason, sendBackWords } from '../../words/choices.ts';
import { shoeNames } from '../../words/names.ts';
import type { Back } from '../app/acts.ts';
import { stageName } from '../app/bar-parts.ts';
import type { CardProps } from './card-props.ts';
import { Choices } from './choices.tsx';

export function SendBack({ card, view, acts, shoe }: CardProps & { readonly shoe: Shoe }) {
  const stages = stagesBefore({ card, view });
  const reachable = new Set<StageCode>(stages);
  const faults = FAULTS.filter(
    ({ foundAt, backTo }) => foundAt.includes(card.stage) && backTo.some((to) => reachable.has(to)),
  );
  return (
    <>
      <fieldset class="shoe-choice" aria-label={sendBackWords.which}>
        {SHOES.map((one) => (
          <button
            key={one}
            type="button"
            class="button"
            aria-pressed={one === shoe}
            onClick={() => acts.choose({ is: 'send-back', shoe: one })}
          >
            {shoeNames[one]}
          </button>
        ))}
      </fieldset>
      {faults.length === 0 ? null : (
        <>
          <h3 class="section">{sendBackWords.wrong}</h3>
          <Choices
            options={faults.map((fault) => {
              const back = backOf(fault, shoe, reachable);
              return {
                label: `${fault.name} → ${stageName(view, back.to)}`,
                onChoose: () => acts.sendBack(back),
              };
            })}
          />
        </>
      )}
      <h3 class="section">{sendBackWords.stage}</h3>
      <Choices
        options={stages.map((to) => ({
          label: stageName(view, to),
          onChoose: () => acts.sendBack({ to, shoe, fault: null, reason: sendBackReason, again: null }),
        }))}
      />
    </>
  );
}

/** Colour is done again on both shoes; a fault whose work goes on to the end leaves what follows to the route. */
function backOf(fault: Fault, shoe: Shoe, reachable: ReadonlySet<StageCode>): Back {
  const to = fault.backTo.find((stage) => reachable.has(stage));
  if (to === undefined) throw new Error(`${fault.id} goes back to no stage that was done`);
  return {
    to,
    shoe: fault.bothShoes ? 'both' : shoe,
    fault: fault.id,
    reason: fault.name,
    again: fault.onward ? null : fault.again,
  };
}

/** The stages that this pair has been through, latest first: where it can go back to. */
function stagesBefore({ card, view }: Pick<CardProps, 'card' | 'view'>): readonly StageCode[] {
  const { pair } = card;
  const codes = view.book?.stages.map(({ code }) => code) ?? [];
  const done = codes.filter((code) => code !== card.stage && pair !== null && isDone(pair, code));
  const here = codes.indexOf(card.stage);
  // A pair that nobody logged may have been anywhere before this stage.
  return (done.length > 0 ? done : codes.slice(0, Math.max(here, 0))).toReversed();
}
