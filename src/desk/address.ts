/** The addresses of the desk's pages. */

export const DESK_PAGES = ['now', 'log', 'where', 'site'] as const;
export type DeskPage = (typeof DESK_PAGES)[number];

export const ADDRESSES: Readonly<Record<DeskPage, string>> = {
  now: '/desk',
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
