/** How worn each shoe came in: sole, welt and heel, left beside right as the shoes stand on the counter. */
import { type OneShoe, SIDES } from '../../domain/record/kinds.ts';
import { logging } from '../../words/logging.ts';
import { Choice } from './choice.tsx';
import { FieldSays } from './field-says.tsx';
import type { LoggingDraft } from './logging-draft.ts';
import type { FieldsProps } from './pair-fields.tsx';

type Shoe = LoggingDraft['condition']['left'];
type Part = keyof Shoe;
const PARTS: readonly Part[] = ['sole', 'welt', 'heel'];

const optionsOf = <State extends string>(states: Readonly<Record<State, string>>) =>
  (Object.keys(states) as State[]).map((value) => ({ value, label: states[value] }));
/** In the order of wear. */
const STATES = {
  sole: optionsOf(logging.states.sole),
  welt: optionsOf(logging.states.welt),
  heel: optionsOf(logging.states.heel),
};

export function ConditionFields({ draft: { condition }, change, problems }: FieldsProps) {
  const set = (shoe: OneShoe, said: Partial<Shoe>) =>
    change({ condition: { ...condition, [shoe]: { ...condition[shoe], ...said } } });
  const isSaid = PARTS.some((part) => condition.left[part] !== null);
  return (
    <section class="log-part" aria-labelledby="log-condition">
      <h2 id="log-condition">{logging.condition}</h2>
      <p class="log-hint">{logging.conditionHint}</p>
      <div class="log-shoes">
        {SIDES.map((shoe) => (
          <div key={shoe} class="log-shoe">
            <h3>
              {logging.shoe[shoe]}
              {shoe === 'right' && isSaid && (
                <button type="button" class="log-quiet" onClick={() => set('right', condition.left)}>
                  {logging.sameRight}
                </button>
              )}
            </h3>
            <PartChoice shoe={shoe} part="sole" said={condition[shoe]} set={set} />
            <PartChoice shoe={shoe} part="welt" said={condition[shoe]} set={set} />
            <PartChoice shoe={shoe} part="heel" said={condition[shoe]} set={set} />
          </div>
        ))}
      </div>
      <FieldSays id="log-condition" problem={problems.condition} />
    </section>
  );
}

interface PartProps {
  readonly shoe: OneShoe;
  readonly part: Part;
  readonly said: Shoe;
  readonly set: (shoe: OneShoe, said: Partial<Shoe>) => void;
}

function PartChoice({ shoe, part, said, set }: PartProps) {
  const label = logging.parts[part];
  return (
    <div class="log-row">
      <span aria-hidden="true">{label}</span>
      <Choice<string>
        name={`log-${shoe}-${part}`}
        label={`${logging.shoe[shoe]}, ${label}`}
        options={STATES[part]}
        chosen={said[part]}
        onChoose={(state) => set(shoe, { [part]: state })}
      />
    </div>
  );
}
