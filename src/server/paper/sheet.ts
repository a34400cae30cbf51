/** A printable page of tickets, badges and set-up cards as one HTML file, with its font in it. */
import { createHash } from 'node:crypto';
import { type PaperPage, paperFile } from '../../paper/page.ts';
import { fontFaces } from './font.ts';

export type { PaperPage };

/**
 * The page as HTML: no script, no style attribute, one style element, every text escaped.
 * @throws RangeError for a code that no bench would take, an unknown day, or labels that do not fit
 */
export function paperPage(page: PaperPage): string {
  return paperFile(page, fontFaces);
}

/**
 * The Content-Security-Policy (CSP Level 3) under which exactly this page is whole: its one style element by
 * hash, its font as data, and nothing else.
 * @param page what `paperPage` returned
 */
export function paperPolicy(page: string): string {
  const style = /<style>(.*?)<\/style>/s.exec(page)?.[1] ?? '';
  const hash = createHash('sha256').update(style, 'utf8').digest('base64');
  return `default-src 'none'; style-src 'sha256-${hash}'; font-src data:; base-uri 'none'; form-action 'none'; frame-ancestors 'self'`;
}
