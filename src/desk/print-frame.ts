/**
 * Sheets in a frame of their own, which is printed. The page's content policy allows neither inline styles nor a
 * framed address, and binds the frame too: so the frame stays the blank page that it is born as, its style sheet is
 * made as an object, and its font comes by address.
 */

import latinExt from '@fontsource-variable/atkinson-hyperlegible-next/files/atkinson-hyperlegible-next-latin-ext-wght-normal.woff2?url';
import latin from '@fontsource-variable/atkinson-hyperlegible-next/files/atkinson-hyperlegible-next-latin-wght-normal.woff2?url';
import type { TicketPattern } from '../domain/ticket-pattern.ts';
import { FONT_FAMILY, fontFace } from '../paper/font.ts';
import { type PaperSheets, paperSheets } from '../paper/page.ts';
import type { TicketPaper } from '../paper/ticket.ts';
import { printing } from '../words/logging.ts';

const FRAME_NAME = 'paper';

export function ticketSheets(papers: readonly TicketPaper[], pattern: TicketPattern | null): PaperSheets {
  const address = (path: string) => JSON.stringify(new URL(path, location.href).href);
  const fontFaces = [fontFace('latin-ext', address(latinExt)), fontFace('latin', address(latin))].join('\n');
  return paperSheets({ title: printing.title, tickets: papers, tags: true, pattern }, fontFaces);
}

/** Puts the sheets into the frame and asks the browser to print it. The frame stays until the next printing. */
export async function printInFrame({ body, style }: PaperSheets): Promise<void> {
  const window_ = newFrame();
  const { document: inside } = window_;
  inside.title = printing.title;
  const sheet = new window_.CSSStyleSheet();
  sheet.replaceSync(style);
  inside.adoptedStyleSheets = [sheet];
  // Safe as HTML: `Markup` escapes every text that is put into it.
  const parsed = new DOMParser().parseFromString(trusted(body.toString()), 'text/html');
  inside.body.replaceChildren(...Array.from(parsed.body.childNodes, (node) => inside.importNode(node, true)));
  await inside.fonts.load(`16px "${FONT_FAMILY}"`);
  await inside.fonts.ready;
  window_.print();
}

function newFrame(): Window & typeof globalThis {
  document.querySelector(`iframe[name=${FRAME_NAME}]`)?.remove();
  const frame = document.createElement('iframe');
  frame.name = FRAME_NAME;
  frame.title = printing.title;
  frame.className = 'desk-paper';
  frame.tabIndex = -1;
  document.body.append(frame);
  const made = frame.contentWindow;
  if (made === null) throw new Error('this browser made a frame without a window');
  return made as Window & typeof globalThis;
}

interface HtmlPolicy {
  createHTML(html: string): string;
}
interface TrustedTypesFactory {
  createPolicy(name: string, rules: HtmlPolicy): HtmlPolicy;
}
declare global {
  interface Window {
    /** Trusted Types (W3C), where the browser has them. */
    readonly trustedTypes?: TrustedTypesFactory;
  }
}

let policy: HtmlPolicy | null = null;

/** Where a site's policy asks for it, HTML must be vouched for. */
function trusted(html: string): string {
  const asIs: HtmlPolicy = { createHTML: (text) => text };
  policy ??= window.trustedTypes?.createPolicy('waxend-paper', asIs) ?? asIs;
  return policy.createHTML(html);
}
