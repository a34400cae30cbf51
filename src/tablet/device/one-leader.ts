/**
 * Of all windows of this tablet, one does the work and the next takes over when it closes. Where the browser has no
 * locks every window works: what is done here must be safe to do twice, only not thrifty.
 */
export type Locks = Pick<LockManager, 'request'>;

/**
 * Runs `work` while this window leads. Resolves when the work has ended or `signal` is aborted.
 * @param work ends soon after its signal is aborted
 */
export async function whileLeading(
  name: string,
  work: (signal: AbortSignal) => Promise<void>,
  signal: AbortSignal,
  locks: Locks | undefined = navigator.locks as LockManager | undefined,
): Promise<void> {
  if (signal.aborted) return;
  if (locks === undefined) return work(signal);
  try {
    await locks.request(name, { signal }, () => work(signal));
  } catch (cause) {
    // Aborted while another window was leading.
    if (!signal.aborted) throw cause;
  }
}
