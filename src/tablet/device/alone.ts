/** One act at a time on this tablet, whichever of its windows it comes from. */
const LOCK = 'waxend-act';
/** A window that hangs must not stop the work at the one in front; the ledger's sequence still keeps them apart. */
const WAIT_MAX_MS = 3_000;

export async function aloneOnThisTablet(act: () => Promise<void>): Promise<void> {
  if (navigator.locks === undefined) return act();
  let begun = false;
  try {
    await navigator.locks.request(LOCK, { signal: AbortSignal.timeout(WAIT_MAX_MS) }, () => {
      begun = true;
      return act();
    });
  } catch (cause) {
    if (begun) throw cause;
    await act();
  }
}
