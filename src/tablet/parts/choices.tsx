export interface Choice {
  readonly label: string;
  readonly onChoose: () => void;
}

export function Choices({ options }: { readonly options: readonly Choice[] }) {
  return (
    <div class="choices">
      {options.map(({ label, onChoose }) => (
        <button key={label} type="button" class="button" onClick={onChoose}>
          {label}
        </button>
      ))}
    </div>
  );
}
