/** Racks: each has a code that a bench scans and a name that people read. */
import { inGroups } from '../../domain/code.ts';
import type { Order } from './order.ts';
import { drawToken } from './people.ts';
import { rackPage } from './rack-label.ts';
import { needed, Refusal } from './refusal.ts';

export async function addRack({ ledger, site, book, options, random, write }: Order): Promise<string> {
  const name = needed(options, 'name').normalize('NFC').trim();
  if (book.racks.some((rack) => rack.name.toLowerCase() === name.toLowerCase())) {
    throw new Refusal(`--name: there is a ${name} already; see list.`);
  }
  const rack = drawToken('rack', random);
  await ledger.changeBook(site, (before) => ({ ...before, racks: [...before.racks, { rack, name }] }));
  const says = `${name} is ${inGroups(rack).join(' ')}.`;
  if (options.out === undefined) return says;
  write(options.out, rackPage({ rack, name }));
  return `${says} Its label is in ${options.out}.`;
}
