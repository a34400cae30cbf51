/**
 * Keeps the screen on while the bench is shown. The lock is lost whenever the page is hidden and may be refused
 * (low battery), so it is asked for again each time the page is shown, and nothing depends on it.
 * @returns lets the screen sleep again
 */
export function keepScreenOn(): () => void {
  let lock: WakeLockSentinel | null = null;
  let stopped = false;

  async function acquire(): Promise<void> {
    if (stopped || document.visibilityState !== 'visible' || (lock !== null && !lock.released)) return;
    try {
      lock = await navigator.wakeLock.request('screen');
      if (stopped) await lock.release();
    } catch {
      // Not to be had here and now; the tablet's own setting for the screen decides.
      lock = null;
    }
  }
  const onShown = () => void acquire();

  if (!('wakeLock' in navigator)) return () => undefined;
  document.addEventListener('visibilitychange', onShown);
  void acquire();
  return () => {
    stopped = true;
    document.removeEventListener('visibilitychange', onShown);
    void lock?.release().catch(() => undefined);
  };
}
