/** Hints that it may be worth trying the server now. They are hints: whether it is reached only an attempt tells. */

export type Hint = 'online' | 'shown';

/** @returns stops listening */
export function watchHints(onHint: (hint: Hint) => void): () => void {
  const online = () => onHint('online');
  const shown = () => {
    if (document.visibilityState === 'visible') onHint('shown');
  };
  window.addEventListener('online', online);
  window.addEventListener('pageshow', shown);
  document.addEventListener('visibilitychange', shown);
  return () => {
    window.removeEventListener('online', online);
    window.removeEventListener('pageshow', shown);
    document.removeEventListener('visibilitychange', shown);
  };
}

/** False only where the tablet itself says that it has no network at all. */
export function maybeOnline(): boolean {
  return navigator.onLine !== false;
}
