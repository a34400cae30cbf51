/** One of a few, as large buttons that are radio buttons to keyboard and screen reader. */
interface Props<Value extends string> {
  /** Unlike any other group's on the page. */
  readonly name: string;
  /** Said of the group; shown where `shown`. */
  readonly label: string;
  readonly shown?: boolean;
  readonly options: readonly {
    readonly value: Value;
    readonly label: string;
    readonly aside?: string | undefined;
  }[];
  readonly chosen: Value | null;
  readonly onChoose: (value: Value) => void;
  readonly describedBy?: string | undefined;
}

export function Choice<Value extends string>(props: Props<Value>) {
  const { name, label, shown = false, options, chosen, onChoose, describedBy } = props;
  return (
    <fieldset class="choice" aria-describedby={describedBy}>
      <legend class={shown ? undefined : 'desk-heard-only'}>{label}</legend>
      <div class="choice-row">
        {options.map((option) => (
          <label key={option.value} class="choice-one">
            <input
              type="radio"
              name={name}
              value={option.value}
              checked={chosen === option.value}
              onChange={() => onChoose(option.value)}
            />
            <span>
              {option.label}
              {option.aside !== undefined && <small>{option.aside}</small>}
            </span>
          </label>
        ))}
      </div>
    </fieldset>
  );
}
