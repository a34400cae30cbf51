/** What came with the pair: the usual things to tick, and a line for anything else. */
import { useState } from 'preact/hooks';
import { logging } from '../../words/logging.ts';
import { THING_LENGTH } from './draft-problems.ts';
import { FieldSays } from './field-says.tsx';
import { asLine } from './logging-draft.ts';
import type { FieldsProps } from './pair-fields.tsx';

export function WithPair({ draft: { withPair }, change, problems }: FieldsProps) {
  const [other, setOther] = useState('');
  const turn = (thing: string, on: boolean) =>
    change({ withPair: on ? [...withPair, thing] : withPair.filter((one) => one !== thing) });
  const add = () => {
    const thing = asLine(other);
    if (thing !== '' && !withPair.includes(thing)) turn(thing, true);
    setOther('');
  };
  const others = withPair.filter((thing) => !logging.usualThings.includes(thing));
  return (
    <section class="log-part" aria-labelledby="log-with">
      <h2 id="log-with">{logging.withPair}</h2>
      <p class="log-hint">{logging.withPairHint}</p>
      <div class="choice-row">
        {logging.usualThings.map((thing) => (
          <label key={thing} class="choice-one">
            <input
              type="checkbox"
              checked={withPair.includes(thing)}
              onChange={(event) => turn(thing, event.currentTarget.checked)}
            />
            <span>{thing}</span>
          </label>
        ))}
        {others.map((thing) => (
          <button key={thing} type="button" class="log-taken" onClick={() => turn(thing, false)}>
            <bdi>{thing}</bdi> <span aria-hidden="true">×</span>
            <span class="desk-heard-only">{logging.takeOff(thing)}</span>
          </button>
        ))}
      </div>
      <div class="log-beside">
        <div class="log-field">
          <label for="log-other">{logging.other}</label>
          <input
            id="log-other"
            type="text"
            dir="auto"
            value={other}
            maxLength={THING_LENGTH}
            autocomplete="off"
            onInput={(event) => setOther(event.currentTarget.value)}
            onKeyDown={(event) => {
              if (event.key !== 'Enter') return;
              // Enter adds the thing; it must not log the pair in.
              event.preventDefault();
              add();
            }}
            onBlur={add}
          />
        </div>
        <button type="button" class="log-quiet" onClick={add}>
          {logging.add}
        </button>
      </div>
      <FieldSays id="log-withPair" problem={problems.withPair} />
    </section>
  );
}
