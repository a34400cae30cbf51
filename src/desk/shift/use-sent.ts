/** Counts how often everything recorded at this desk has reached the server: then its figures are other ones. */
import { useEffect, useRef, useState } from 'preact/hooks';
import type { Office } from '../office.ts';

export function useSent({ waiting }: Pick<Office, 'waiting'>): number {
  const [sent, setSent] = useState(0);
  const before = useRef(waiting);
  useEffect(() => {
    if (waiting < before.current) setSent((times) => times + 1);
    before.current = waiting;
  }, [waiting]);
  return sent;
}
