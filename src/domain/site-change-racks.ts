/** The site's racks: each with a code that can be scanned and a name of its own. */
import { classify } from './code.ts';
import { type Outcome, refused, type SiteDraft, typedLine, withBook } from './site-change-draft.ts';
import type { ChangeOf } from './site-change-kinds.ts';

const NAME_MAX = 40;
const RACKS_MAX = 1000;

export function addRack(draft: SiteDraft, { rack, name: typed }: ChangeOf<'add-rack'>): Outcome<SiteDraft> {
  const { racks } = draft.book;
  if (classify(rack, 'camera').kind !== 'rack') return refused({ fault: 'rack-form', rack });
  if (racks.some((one) => one.rack === rack)) return refused({ fault: 'rack-taken', rack });
  if (racks.length >= RACKS_MAX) return refused({ fault: 'too-many', what: 'racks', most: RACKS_MAX });
  const name = freeName(draft, typed, rack);
  return 'faults' in name ? name : withBook(draft, { racks: [...racks, { rack, name: name.ok }] });
}

export function nameRack(draft: SiteDraft, { rack, name: typed }: ChangeOf<'name-rack'>): Outcome<SiteDraft> {
  const { racks } = draft.book;
  if (!racks.some((one) => one.rack === rack)) return refused({ fault: 'rack-unknown', rack });
  const name = freeName(draft, typed, rack);
  if ('faults' in name) return name;
  return withBook(draft, {
    racks: racks.map((one) => (one.rack === rack ? { rack, name: name.ok } : one)),
  });
}

/** Its code is known no more; a pair last put there is still said to be there, by the code. */
export function removeRack(draft: SiteDraft, { rack }: ChangeOf<'remove-rack'>): Outcome<SiteDraft> {
  const racks = draft.book.racks.filter((one) => one.rack !== rack);
  if (racks.length === draft.book.racks.length) return refused({ fault: 'rack-unknown', rack });
  return withBook(draft, { racks });
}

function freeName({ book }: SiteDraft, typed: string, own: string): Outcome<string> {
  const name = typedLine(typed, 'rack', NAME_MAX);
  if ('faults' in name) return name;
  const lower = name.ok.toLowerCase();
  const taken = book.racks.some((one) => one.rack !== own && one.name.toLowerCase() === lower);
  return taken ? refused({ fault: 'name-taken', name: name.ok }) : name;
}
