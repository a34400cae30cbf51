/** The few fields that the forms about a pair are made of. */
import { useOwnId } from '../parts/use-own-id.ts';

interface FieldProps {
  readonly name: string;
  readonly value: string;
  readonly onValue: (value: string) => void;
}

/** One line of text in any script. */
export function LineField({ name, value, onValue, most = 200 }: FieldProps & { readonly most?: number }) {
  const id = useOwnId();
  return (
    <p class="pair-field">
      <label for={id}>{name}</label>
      <input
        id={id}
        dir="auto"
        value={value}
        maxLength={most}
        autocomplete="off"
        onInput={(event) => onValue(event.currentTarget.value)}
      />
    </p>
  );
}

/** A calendar day, `2026-12-10`; empty where none is chosen. */
export function DayField({ name, value, onValue }: FieldProps) {
  const id = useOwnId();
  return (
    <p class="pair-field">
      <label for={id}>{name}</label>
      <input id={id} type="date" value={value} onInput={(event) => onValue(event.currentTarget.value)} />
    </p>
  );
}

export interface Choice<Value extends string> {
  readonly value: Value;
  readonly name: string;
}

interface PickProps<Value extends string> {
  readonly name: string;
  readonly choices: readonly Choice<Value>[];
  readonly value: Value | null;
  readonly onValue: (value: Value) => void;
}

/** A list to choose from, for many choices; with nothing chosen its first line is empty. */
export function PickField<Value extends string>({ name, choices, value, onValue }: PickProps<Value>) {
  const id = useOwnId();
  return (
    <p class="pair-field">
      <label for={id}>{name}</label>
      <select
        id={id}
        value={value ?? ''}
        onChange={(event) => {
          const chosen = choices.find((choice) => choice.value === event.currentTarget.value);
          if (chosen !== undefined) onValue(chosen.value);
        }}
      >
        {value === null && <option value="" />}
        {choices.map((choice) => (
          <option key={choice.value} value={choice.value}>
            {choice.name}
          </option>
        ))}
      </select>
    </p>
  );
}

/** Choices all in sight, for few. */
export function RadioField<Value extends string>({ name, choices, value, onValue }: PickProps<Value>) {
  const group = useOwnId();
  return (
    <fieldset class="pair-radios">
      <legend>{name}</legend>
      {choices.map((choice) => (
        <label key={choice.value}>
          <input
            type="radio"
            name={group}
            checked={choice.value === value}
            onChange={() => onValue(choice.value)}
          />
          <span dir="auto">{choice.name}</span>
        </label>
      ))}
    </fieldset>
  );
}
