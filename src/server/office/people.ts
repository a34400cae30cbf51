/** People and their badges. The ledger holds the hash of a badge alone: its code is said once, here. */
import { inGroups, issueToken } from '../../domain/code.ts';
import { codeHash } from '../../domain/code-hash.ts';
import { asOperativeId } from '../../domain/ids.ts';
import { ROLES, type SiteBook } from '../../domain/site-book.ts';
import { paperPage } from '../paper/sheet.ts';
import type { Order } from './order.ts';
import { needed, oneOf, Refusal } from './refusal.ts';

const OPERATIVE_ID_BYTES = 6;
const TOKEN_BYTES = 64;

export async function addOperative({ ledger, site, options, random }: Order): Promise<string> {
  const name = needed(options, 'name').normalize('NFC').trim();
  const role = oneOf(options, 'role', ROLES, 'hand');
  const id = asOperativeId(`o-${Buffer.from(random(OPERATIVE_ID_BYTES)).toString('hex')}`);
  await ledger.changeBook(site, (book) => ({
    ...book,
    operatives: [...book.operatives, { id, name, role, released: null }],
  }));
  return `${id}  ${name}, ${role}. Next: give-badge --operative ${id}`;
}

export async function giveBadge({ ledger, site, book, options, random, write }: Order): Promise<string> {
  const { id, name } = operativeOf(book, needed(options, 'operative'));
  const token = drawToken('badge', random);
  const had = book.badges.some(({ operative }) => operative === id);
  await ledger.changeBook(site, (before) => ({
    ...before,
    badges: [
      ...before.badges.filter(({ operative }) => operative !== id),
      { hash: codeHash(token), operative: id },
    ],
  }));
  const withdrawn = had ? ' The badge given before is withdrawn.' : '';
  if (options.out === undefined) return `Badge of ${name}: ${inGroups(token).join(' ')}.${withdrawn}`;
  write(options.out, paperPage({ title: `Badge of ${name}`, badges: [{ token, name, site: book.name }] }));
  return `Badge of ${name} in ${options.out}. Print it and delete the file.${withdrawn}`;
}

export async function withdrawBadge({ ledger, site, book, options }: Order): Promise<string> {
  const { id, name } = operativeOf(book, needed(options, 'operative'));
  if (!book.badges.some(({ operative }) => operative === id)) throw new Refusal(`${name} has no badge.`);
  await ledger.changeBook(site, (before) => ({
    ...before,
    badges: before.badges.filter(({ operative }) => operative !== id),
  }));
  return `The badge of ${name} is withdrawn. A tablet with no network takes it until it has the book again.`;
}

/** A code from fresh random bytes; some draws end on a check character that is never issued, and are drawn again. */
export function drawToken(kind: 'badge' | 'bench' | 'rack', random: Order['random']): string {
  for (;;) {
    const token = issueToken(kind, random(TOKEN_BYTES));
    if (token !== null) return token;
  }
}

export function operativeOf(book: SiteBook, id: string): SiteBook['operatives'][number] {
  const operative = book.operatives.find((candidate) => candidate.id === id);
  if (operative === undefined) throw new Refusal(`--operative: nobody here has the id ${id}; see list.`);
  return operative;
}
