/** Resolves in the second frame after this one: what the page shows now has been painted by then. */
export function painted(): Promise<number> {
  return new Promise((resolve) => {
    requestAnimationFrame(() => requestAnimationFrame(() => resolve(performance.now())));
  });
}
