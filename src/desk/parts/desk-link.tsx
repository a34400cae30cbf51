import type { ComponentChildren } from 'preact';
import { goTo } from '../address.ts';

interface Props {
  readonly href: string;
  readonly current?: boolean;
  readonly children: ComponentChildren;
}

/** A way to another page of the desk, without loading the desk anew. */
export function DeskLink({ href, current = false, children }: Props) {
  return (
    <a
      href={href}
      aria-current={current ? 'page' : undefined}
      onClick={(event) => {
        // A new tab or window is the browser's affair.
        if (event.ctrlKey || event.metaKey || event.shiftKey || event.button !== 0) return;
        event.preventDefault();
        goTo(href);
      }}
    >
      {children}
    </a>
  );
}
