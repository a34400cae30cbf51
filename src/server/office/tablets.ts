/** Tablets: set-up codes to enrol them by, and taking their keys away. */
import { inGroups } from '../../domain/code.ts';
import { codeHash } from '../../domain/code-hash.ts';
import { asBenchId, type StageCode } from '../../domain/ids.ts';
import { HOUR_MS } from '../../domain/instant.ts';
import type { SiteBook } from '../../domain/site-book.ts';
import { PLACES } from '../../wire/enrol.ts';
import { paperPage } from '../paper/sheet.ts';
import type { Order } from './order.ts';
import { drawToken } from './people.ts';
import { needed, oneOf, Refusal, wholeNumber } from './refusal.ts';

const USES_MAX = 100;
const HOURS_MAX = 7 * 24;
const STAGES_MAX = 12;

export async function addBench(order: Order): Promise<string> {
  const { ledger, site, book, options, random, now, write } = order;
  const name = needed(options, 'name').trim();
  if (name.length > 50) throw new Refusal('--name: 50 characters at most.');
  const place = oneOf(options, 'place', PLACES, 'bench');
  const stages = place === 'desk' ? [] : stagesIn(book, needed(options, 'stages'), STAGES_MAX);
  const uses = wholeNumber(options, 'uses', 1, USES_MAX);
  const until = now + wholeNumber(options, 'hours', 24, HOURS_MAX) * HOUR_MS;
  const token = drawToken('bench', random);
  await ledger.addSetUpCode(site, {
    hash: codeHash(token),
    name,
    place,
    stages: stages.map(({ code }) => code),
    until,
    uses,
  });
  const validUntil = new Date(until).toISOString();
  const use = uses === 1 ? 'once' : `${uses} times`;
  const says = `Set-up code ${inGroups(token).join(' ')} for ${name}, to be used ${use}, until ${validUntil}.`;
  if (options.out === undefined) return says;
  const card = { token, name, stages: stages.map((stage) => stage.name), validUntil, zone: book.timeZone };
  write(options.out, paperPage({ title: `Set-up of ${name}`, benches: [card] }));
  return `${says} The card is in ${options.out}.`;
}

export async function revokeBench({ ledger, site, options, now }: Order): Promise<string> {
  const bench = asBenchId(needed(options, 'bench'));
  if (!(await ledger.revokeBench(site, bench, now))) {
    throw new Refusal(`--bench: no tablet here has the id ${bench}; see list.`);
  }
  return `${bench} is revoked: it can read and send nothing. Records that it still holds stay on it: save them on its settings page, then take-in.`;
}

/** The stages that a list of codes names, `WLT,INT`. Throws Refusal on one that the site has not. */
export function stagesIn(book: SiteBook, list: string, most: number): SiteBook['stages'] {
  const codes = [...new Set(list.split(',').map((code) => code.trim().toUpperCase()))] as StageCode[];
  if (codes.length > most) throw new Refusal(`--stages: ${most} at most.`);
  return codes.map((code) => {
    const stage = book.stages.find((candidate) => candidate.code === code);
    if (stage === undefined) throw new Refusal(`--stages: ${code} is no stage of this site; see list.`);
    return stage;
  });
}
