/**
 * The site's own page: routes, reminders, releases, racks and figures, changed by a supervisor and saved together; and the
 * calendar, which is saved by itself.
 */
import { useState } from 'preact/hooks';
import { nameOf } from '../../domain/site-book.ts';
import { deskTroubles, stopped } from '../../words/desk.ts';
import { site } from '../../words/site.ts';
import type { Office } from '../office.ts';
import '../site.css';
import type { DeskApi } from '../api.ts';
import type { SetUp } from '../set-up.ts';
import { type SiteDrafting, useSiteDrafting } from './site-drafting.ts';
import { FaultNote } from './site-fault.tsx';
import { PeopleTab } from './site-people.tsx';
import { RacksTab } from './site-racks.tsx';
import { RemindersTab } from './site-reminders.tsx';
import { RoutesTab } from './site-routes.tsx';
import { ShiftsTab } from './site-shifts.tsx';

const TABS = ['routes', 'reminders', 'people', 'racks', 'shifts'] as const;
type Tab = (typeof TABS)[number];

interface Props {
  readonly office: Office;
  readonly setUp: SetUp;
  readonly api: DeskApi;
}

export function SitePage({ office, setUp, api }: Props) {
  const [tab, setTab] = useState<Tab>('routes');
  const drafting = useSiteDrafting(office, setUp);
  const show = (next: Tab) => {
    setTab(next);
    window.scrollTo(0, 0);
  };
  return (
    <main class="desk site">
      <header class="desk-head">
        <h1>{site.page}</h1>
        <p class="desk-place">{drafting.book.name}</p>
        <nav class="site-tabs" aria-label={site.tabsName}>
          {TABS.map((one) => (
            <button
              key={one}
              type="button"
              aria-current={one === tab ? 'page' : undefined}
              onClick={() => show(one)}
            >
              {site.tabs[one]}
            </button>
          ))}
        </nav>
      </header>
      {!drafting.canChange && !drafting.saving && (
        <p class="site-who">
          {office.at === null ? site.nobodyAtDesk : site.notSupervisor(nameOf(drafting.book, office.at))}
        </p>
      )}
      {tab === 'routes' && <RoutesTab drafting={drafting} now={office.now} />}
      {tab === 'reminders' && <RemindersTab drafting={drafting} author={nameOf(drafting.book, office.at)} />}
      {tab === 'people' && <PeopleTab drafting={drafting} />}
      {tab === 'racks' && <RacksTab drafting={drafting} pairs={office.pairs} />}
      {tab === 'shifts' && <ShiftsTab drafting={drafting} at={office.at} ways={{ api, setUp }} />}
      <SaveBar drafting={drafting} />
    </main>
  );
}

/** Stands at the foot of the window while something is not saved, or was saved just now. */
function SaveBar({ drafting }: { drafting: SiteDrafting }) {
  const { unsaved, said, saving, canChange } = drafting;
  return (
    <div class={unsaved === 0 && said === null ? 'site-save site-save-none' : 'site-save'}>
      <div class="site-save-says" role="status">
        {unsaved > 0 && <b>{site.unsaved(unsaved)}</b>} <SaidLine drafting={drafting} />
        {unsaved > 0 && said === null && <span>{site.unsavedHint}</span>}
      </div>
      {unsaved > 0 && (
        <div class="site-buttons">
          <button type="button" disabled={saving} onClick={drafting.undo}>
            {site.takeBack}
          </button>
          <button type="button" disabled={saving} onClick={drafting.drop}>
            {site.takeAllBack}
          </button>
          <button type="button" class="site-main" disabled={!canChange} onClick={() => void drafting.save()}>
            {saving ? site.saving : site.save}
          </button>
        </div>
      )}
    </div>
  );
}

function SaidLine({ drafting: { said, book } }: { drafting: SiteDrafting }) {
  switch (said?.is) {
    case undefined:
      return null;
    case 'saved':
      return <span>{site.saved(said.version)}</span>;
    case 'overtaken':
      return <span>{site.overtaken}</span>;
    case 'full':
      return <span>{site.saveFirst}</span>;
    case 'faulty':
      return <FaultNote faults={said.faults} book={book} />;
    case 'trouble': {
      if (said.trouble === 'not-allowed') return <span>{site.refusedHere}</span>;
      if (said.trouble === 'book-changed') return <span>{site.changedElsewhere}</span>;
      const { says, next } = deskTroubles[said.trouble];
      return (
        <span>
          {stopped(says)} {stopped(next)}
        </span>
      );
    }
  }
}
