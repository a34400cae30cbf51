/**
 * Finding a pair by whatever the office has of it: ticket, owner's reference, last, size, style, maker. An index is
 * kept, in which a pair is read anew only when its state is another; 5,000 pairs are then searched between two keys.
 */
import { type Comparison, classify } from '../domain/code.ts';
import type { PairState } from '../domain/fold/pair-state.ts';
import type { PairId } from '../domain/ids.ts';
import type { TicketPattern } from '../domain/ticket-pattern.ts';
import { lastOf } from '../domain/way.ts';

export const FIELDS = ['ticket', 'owner', 'last', 'size', 'style', 'maker'] as const;
export type Field = (typeof FIELDS)[number];

export interface Found {
  readonly pair: PairId;
  /** Null where the ticket that was typed is damaged and this is one that it may have been. */
  readonly by: Field | null;
  /** What to compare on the paper before this is taken for the pair. */
  readonly compare: readonly Comparison[];
}

/** How much a field weighs: a number is meant more often than a word of the style. */
const WEIGHS: Readonly<Record<Field, number>> = { ticket: 6, owner: 5, last: 4, style: 3, maker: 2, size: 1 };

interface Entry {
  readonly state: PairState;
  readonly fields: Readonly<Record<Field, { readonly text: string; readonly squeezed: string }>>;
  /** All of it: what is not in here is nowhere. */
  readonly all: string;
}

export class PairIndex {
  readonly #entries = new Map<PairId, Entry>();

  /** Reads in what is new or another, and forgets what is gone. @returns how many pairs were read */
  update(pairs: ReadonlyMap<PairId, PairState>): number {
    let read = 0;
    for (const [pair, state] of pairs) {
      if (this.#entries.get(pair)?.state === state) continue;
      this.#entries.set(pair, entryOf(state));
      read += 1;
    }
    if (this.#entries.size > pairs.size)
      for (const pair of this.#entries.keys()) if (!pairs.has(pair)) this.#entries.delete(pair);
    return read;
  }

  /** Best first: every word of the query must be found in the pair. Empty for a query without a word. */
  search(query: string, pattern: TicketPattern | null): readonly Found[] {
    const words = wordsIn(query);
    if (words.length === 0) return [];
    const code = classify(query, 'typed', pattern);
    if (code.kind === 'ticket' && this.#entries.has(code.pair))
      return [{ pair: code.pair, by: 'ticket', compare: [] }];
    const whole = squeeze(query);
    const ranked: { readonly found: Found; readonly score: number; readonly state: PairState }[] = [];
    for (const [pair, { state, fields, all }] of this.#entries) {
      const hit = hitOf(fields, all, words, whole);
      if (hit !== null) ranked.push({ found: { pair, by: hit.field, compare: [] }, score: hit.score, state });
    }
    ranked.sort(
      (one, other) => other.score - one.score || inTheWorks(one.state, other.state) || newest(one, other),
    );
    const perhaps = code.kind === 'damaged' && code.looksLike === 'ticket' ? this.#perhaps(code) : [];
    const exact = ranked.map(({ found }) => found);
    return [...perhaps, ...exact.filter(({ pair }) => !perhaps.some((one) => one.pair === pair))];
  }

  /** Pairs that a badly read ticket may be: never taken for it, only offered with what to compare. */
  #perhaps(code: { readonly text: string; readonly compare: readonly Comparison[] }): readonly Found[] {
    const typed = code.text.toUpperCase().replace(/[^0-9A-Z]/g, '');
    const offered = [...this.#entries.keys()].flatMap(
      (pair): readonly (Found & { readonly swaps: boolean })[] => {
        const slip = slipBetween(typed, pair);
        if (slip === null) return [];
        const swaps = code.compare.some(({ position, perhaps }) =>
          slip.some((one) => one.position === position && one.perhaps === perhaps),
        );
        return [{ pair, by: null, compare: slip, swaps }];
      },
    );
    return offered
      .sort(
        (one, other) => Number(other.swaps) - Number(one.swaps) || one.compare.length - other.compare.length,
      )
      .map(({ pair, by, compare }) => ({ pair, by, compare }));
  }
}

/**
 * What lies between a typed ticket and a real one, where it is one slip of eye or finger: at most two characters
 * read as others, two neighbours turned round, or one left out or put in. Null where it is more.
 */
export function slipBetween(typed: string, ticket: string): readonly Comparison[] | null {
  if (typed === ticket) return [];
  if (typed.length === ticket.length) {
    const wrong = [...ticket].flatMap((perhaps, index) => {
      const read = typed.charAt(index);
      return read === perhaps ? [] : [{ position: index + 1, read, perhaps }];
    });
    return wrong.length <= 2 ? wrong : null;
  }
  const [short, long] = typed.length < ticket.length ? [typed, ticket] : [ticket, typed];
  if (long.length - short.length !== 1) return null;
  for (let at = 0; at < long.length; at += 1) {
    if (long.slice(0, at) + long.slice(at + 1) !== short) continue;
    const read = typed === long ? long.charAt(at) : '';
    return [{ position: at + 1, read, perhaps: typed === long ? '' : long.charAt(at) }];
  }
  return null;
}

type Fields = Entry['fields'];

function hitOf(fields: Fields, all: string, words: readonly string[], whole: string) {
  const together = bestField(fields, (field) => scoreOf(fields[field].squeezed, whole));
  if (!words.every((word) => all.includes(word))) return together.score > 0 ? together : null;
  const each = words.map((word) => bestField(fields, (field) => scoreOf(fields[field].text, word)));
  const best = each.reduce((one, other) => (other.score > one.score ? other : one));
  const sum = each.reduce((total, { score }) => total + score, 0) / each.length;
  return together.score > sum ? together : { field: best.field, score: sum };
}

function bestField(fields: Fields, score: (field: Field) => number): { field: Field; score: number } {
  let best: { field: Field; score: number } = { field: 'ticket', score: 0 };
  for (const field of FIELDS) {
    const found = fields[field].text === '' ? 0 : score(field);
    if (found > 0 && found * 10 + WEIGHS[field] > best.score)
      best = { field, score: found * 10 + WEIGHS[field] };
  }
  return best;
}

/** The whole field, one of its words, the beginning of one, or only somewhere in it. */
function scoreOf(text: string, word: string): number {
  if (text === word) return 9;
  const at = ` ${text} `;
  if (at.includes(` ${word} `)) return 7;
  if (at.includes(` ${word}`)) return 5;
  return text.includes(word) ? 2 : 0;
}

function entryOf(state: PairState): Entry {
  const { pair, details } = state;
  const raw: Readonly<Record<Field, string>> = {
    ticket: pair,
    owner: details?.ownerRef ?? '',
    last: details === null ? '' : lastOf(details),
    size: details === null ? '' : details.size,
    style: details?.style ?? '',
    maker: details?.maker ?? '',
  };
  const read = (field: Field) => ({ text: fold(raw[field]), squeezed: squeeze(raw[field]) });
  const fields: Fields = {
    ticket: read('ticket'),
    owner: read('owner'),
    last: read('last'),
    size: read('size'),
    style: read('style'),
    maker: read('maker'),
  };
  return { state, fields, all: FIELDS.map((field) => fields[field].text).join('\n') };
}

/**
 * As it is compared: compatibility forms and accents apart (NFKD), marks dropped, small letters, one blank for
 * whatever stands between words. Signs and emoji stay, since a reference may be one.
 */
export function fold(text: string): string {
  return text
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .replace(/[\p{P}\p{Z}\p{C}]+/gu, ' ')
    .trim();
}

/** As `fold`, without any blank: «A 1042», «a-1042» and «A1042» are one. */
export const squeeze = (text: string): string => fold(text).replaceAll(' ', '');

const wordsIn = (query: string): readonly string[] =>
  fold(query)
    .split(' ')
    .filter((word) => word !== '');

const inTheWorks = (one: PairState, other: PairState): number =>
  Number(one.closedAt !== null) - Number(other.closedAt !== null);

function newest(one: { readonly state: PairState }, other: { readonly state: PairState }): number {
  return (other.state.latest?.at ?? 0) - (one.state.latest?.at ?? 0);
}
