/**
 * The site's book while somebody changes it: every change is tried at once on the book that is shown, and all of them
 * are sent together. What is not saved yet outlives a look at another page of the desk.
 */
import { useEffect, useMemo, useState } from 'preact/hooks';
import { openSpells } from '../../domain/fold/spells.ts';
import type { SiteId, StageCode } from '../../domain/ids.ts';
import { roleOf, type SiteBook } from '../../domain/site-book.ts';
import type { SiteFault } from '../../domain/site-change-faults.ts';
import type { SiteChange } from '../../domain/site-change-kinds.ts';
import { changeSiteInOne } from '../../domain/site-changes.ts';
import { SITE_CHANGES_MAX } from '../../wire/site-change.ts';
import { dayAt } from '../../words/site.ts';
import type { Trouble } from '../api.ts';
import type { Office } from '../office.ts';
import { type DeskKey, fetchSiteBook, sendSiteChanges } from '../site-sender.ts';

/** What the foot of the page says about the last saving. */
export type Said =
  | { readonly is: 'saved'; readonly version: number }
  | { readonly is: 'overtaken' | 'full' }
  | { readonly is: 'faulty'; readonly faults: readonly SiteFault[] }
  | { readonly is: 'trouble'; readonly trouble: Trouble };

export interface SiteDrafting {
  /** The book with all that was changed and is not saved yet. */
  readonly book: SiteBook;
  readonly canChange: boolean;
  readonly today: string;
  readonly unsaved: number;
  readonly saving: boolean;
  readonly said: Said | null;
  /**
   * Tries changes on the book, all of them or none. @param where what they were made at, so that their faults are shown
   * there @returns whether they stand
   */
  change(where: string, ...made: readonly SiteChange[]): boolean;
  faultsAt(where: string): readonly SiteFault[];
  undo(): void;
  drop(): void;
  save(): Promise<void>;
}

/** Outlives the page, so that a look at another one loses nothing; what was changed at one site is nothing to another. */
const kept: { site: SiteId | null; changes: readonly SiteChange[] } = { site: null, changes: [] };

export function useSiteDrafting(office: Office, desk: DeskKey): SiteDrafting {
  const [answered, setAnswered] = useState<SiteBook | null>(null);
  const [changes, setChanges] = useState(kept.site === desk.site ? kept.changes : []);
  const [fault, setFault] = useState<{ where: string; faults: readonly SiteFault[] } | null>(null);
  const [said, setSaid] = useState<Said | null>(null);
  const [saving, setSaving] = useState(false);

  // The server's answer is ahead of the desk's own ledger until that has fetched the book.
  const base = answered !== null && answered.version > office.book.version ? answered : office.book;
  const pairsOpenAt = useMemo(() => openPairs(office), [office.pairs]);
  const today = dayAt(office.now, base.timeZone);
  const context = { now: office.now, today, pairsOpenAt };
  const drafted = changeSiteInOne(base, changes, context);
  const overtaken = 'faults' in drafted;
  const at = office.at;

  const put = (next: readonly SiteChange[]) => {
    kept.site = desk.site;
    kept.changes = next;
    setChanges(next);
    setFault(null);
  };
  useEffect(() => {
    if (!overtaken) return;
    put([]);
    setSaid({ is: 'overtaken' });
  }, [overtaken]);
  useEffect(() => {
    if (changes.length === 0) return;
    const hold = (event: BeforeUnloadEvent) => event.preventDefault();
    window.addEventListener('beforeunload', hold);
    return () => window.removeEventListener('beforeunload', hold);
  }, [changes.length === 0]);

  return {
    book: 'ok' in drafted ? drafted.ok : base,
    canChange: at !== null && roleOf(base, at) === 'supervisor' && !saving,
    today,
    unsaved: changes.length,
    saving,
    said,
    change(where, ...made) {
      const next = made.reduce(withChange, changes);
      setSaid(next.length > SITE_CHANGES_MAX ? { is: 'full' } : null);
      if (next.length > SITE_CHANGES_MAX) return false;
      const outcome = changeSiteInOne(base, next, context);
      if ('faults' in outcome) {
        setFault({ where, faults: outcome.faults });
        return false;
      }
      put(next);
      return true;
    },
    faultsAt: (where) => (fault?.where === where ? fault.faults : []),
    undo: () => put(changes.slice(0, -1)),
    drop: () => put([]),
    async save() {
      if (at === null || changes.length === 0) return;
      setSaving(true);
      const sent = await sendSiteChanges(fetch, desk, {
        version: base.version,
        changes: [...changes],
        by: at,
      });
      if (sent.is === 'book') {
        put([]);
        setAnswered(sent.book);
        setSaid({ is: 'saved', version: sent.book.version });
      } else if (sent.is === 'faulty') {
        setSaid({ is: 'faulty', faults: sent.faults });
      } else {
        setSaid({ is: 'trouble', trouble: sent.trouble });
        // What stands there now is shown with the changes on top, to be looked at before they are saved.
        const now = sent.trouble === 'book-changed' ? await fetchSiteBook(fetch, desk) : sent;
        if (now.is === 'book') setAnswered(now.book);
      }
      setSaving(false);
    },
  };
}

/** A cell that is tapped through its three states is one change. */
function withChange(changes: readonly SiteChange[], change: SiteChange): readonly SiteChange[] {
  const last = changes.at(-1);
  const again =
    last?.change === 'take-stage' &&
    change.change === 'take-stage' &&
    last.stage === change.stage &&
    last.job === change.job;
  return [...(again ? changes.slice(0, -1) : changes), change];
}

function openPairs({ pairs }: Office): ReadonlyMap<StageCode, number> {
  const open = new Map<StageCode, number>();
  for (const state of pairs.values()) {
    for (const stage of new Set(openSpells(state).map((spell) => spell.stage))) {
      open.set(stage, (open.get(stage) ?? 0) + 1);
    }
  }
  return open;
}
