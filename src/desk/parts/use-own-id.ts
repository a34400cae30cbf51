/**
 * An id that nothing else on the page has. Not preact's `useId`: where the root is rendered anew again and again, as here, two
 * parts that are first shown at different times were seen to get the same one, and then a label names the wrong field.
 */
import { useState } from 'preact/hooks';

let given = 0;

export function useOwnId(): string {
  const [id] = useState(() => {
    given += 1;
    return `own-${given}`;
  });
  return id;
}
