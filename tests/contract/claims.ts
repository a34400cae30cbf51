/** Two claims for cases that run in a page, where no test runner is. */

/** Fails unless both are the same as JSON, whatever the order of an object's fields. */
export function same(actual: unknown, expected: unknown): void {
  const [is, ought] = [sorted(actual), sorted(expected)];
  if (is !== ought) throw new Error(`expected ${ought}\n     but got ${is}`);
}

/** Fails unless the promise rejects with an error of this name. */
export async function rejects(promise: Promise<unknown>, name: string): Promise<unknown> {
  const outcome = await promise.then(
    () => null,
    (cause: unknown) => cause,
  );
  if (!(outcome instanceof Error) || outcome.name !== name) {
    throw new Error(`expected ${name} but got ${outcome instanceof Error ? outcome.name : 'success'}`);
  }
  return outcome;
}

function sorted(value: unknown): string {
  return JSON.stringify(value, (_, field: unknown) =>
    typeof field === 'object' && field !== null && !Array.isArray(field)
      ? Object.fromEntries(Object.entries(field).sort(([a], [b]) => (a < b ? -1 : 1)))
      : field,
  );
}
