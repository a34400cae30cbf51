/** What is wrong with a field, right beside it. */
export const saysId = (field: string) => `${field}-says`;

export function FieldSays({ id, problem }: { readonly id: string; readonly problem: string | undefined }) {
  return (
    <p id={saysId(id)} class="field-says">
      {problem}
    </p>
  );
}
