/** The addresses of the desk's pages. */

export const DESK_PAGES = ['now', 'shift', 'log', 'where', 'site'] as const;
export type DeskPage = (typeof DESK_PAGES)[number];

export const ADDRESSES: Readonly<Record<DeskPage, string>> = {
  now: '/desk',
  shift: '/desk/shift',
  log: '/desk/log',
  where: '/desk/where',
  site: '/desk/site',
};

/** Goes to an address of the desk; whatever shows one follows, as it does when somebody goes back. */
export function goTo(address: string): void {
  history.pushState(null, '', address);
  // The browser itself tells only of going back and forth.
  window.dispatchEvent(new PopStateEvent('popstate'));
  window.scrollTo(0, 0);
}

/** The page at an address; whatever lies below a page is that page's own affair, and anything else is the first. */
export function pageAt(pathname: string): DeskPage {
  const found = DESK_PAGES.slice(1).find(
    (page) => pathname === ADDRESSES[page] || pathname.startsWith(`${ADDRESSES[page]}/`),
  );
  return found ?? 'now';
}

/** The sheet of the shift that began at an instant; without one, the newest. */
export function addressOfShift(from: number | null): string {
  return from === null ? ADDRESSES.shift : `${ADDRESSES.shift}/${from}`;
}

/** The shift in an address, or null for the newest. */
export function shiftAtAddress(pathname: string): number | null {
  const from = Number(/^\/desk\/shift\/(\d{1,15})$/.exec(pathname)?.[1] ?? Number.NaN);
  return Number.isSafeInteger(from) ? from : null;
}
