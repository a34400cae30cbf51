/**
 * HTML that knows it is HTML. Everything put into a `markup` template is escaped unless it came out of
 * another one, so a name or a ticket that holds `<img onerror=…>` is printed as the text that it is.
 */

/** A class with a private field: no object out of a file or a request can pass for one. */
export class Markup {
  readonly #html: string;
  constructor(html: string) {
    this.#html = html;
  }
  toString(): string {
    return this.#html;
  }
}

type Hole = string | number | Markup | readonly Markup[];

const ENTITIES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

/**
 * `text` as HTML text or as a quoted attribute's value. Control characters, and the marks that turn the
 * direction of writing (a number could be made to read backwards), become U+FFFD: seen, and harmless.
 */
export function escapeText(text: string): string {
  return text
    .replace(/[\p{Cc}\p{Cs}\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]/gu, '\uFFFD')
    .replace(/[&<>"']/g, (character) => ENTITIES[character] ?? '');
}

/** Template tag: text and numbers are escaped, markup and lists of markup go in as they are. */
export function markup(strings: TemplateStringsArray, ...holes: readonly Hole[]): Markup {
  return new Markup(strings.reduce((html, string, index) => html + filled(holes[index - 1]) + string));
}

/** Nothing: for the branch of a condition that prints nothing. */
export const nothing = new Markup('');

function filled(hole: Hole | undefined): string {
  if (hole instanceof Markup) return hole.toString();
  if (Array.isArray(hole)) return hole.map(filled).join('');
  return escapeText(String(hole));
}
