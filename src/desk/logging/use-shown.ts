import { useEffect, useRef } from 'preact/hooks';

/** What opens below what was tapped is brought into view, and the focus goes there. */
export function useShown<Shown extends HTMLElement>() {
  const shown = useRef<Shown>(null);
  useEffect(() => {
    shown.current?.focus({ preventScroll: true });
    shown.current?.scrollIntoView({ block: 'nearest' });
  }, []);
  return shown;
}
