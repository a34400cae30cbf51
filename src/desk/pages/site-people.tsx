/** Who is released for which machine stage: hands down, machine stages across. */
import type { SiteBook } from '../../domain/site-book.ts';
import { site } from '../../words/site.ts';
import type { SiteDrafting } from './site-drafting.ts';
import { FaultNote } from './site-fault.tsx';

type Operative = SiteBook['operatives'][number];
type Stages = SiteBook['stages'];

export function PeopleTab({ drafting }: { drafting: SiteDrafting }) {
  const { book } = drafting;
  const machines = book.stages.filter(({ machine }) => machine);
  if (book.operatives.length === 0) return <p class="site-intro">{site.noPeople}</p>;
  if (machines.length === 0) return <p class="site-intro">{site.noMachines}</p>;
  return (
    <>
      <p class="desk-calm site-intro">{site.releasesHint}</p>
      <div class="site-wide">
        <table class="site-people">
          <thead>
            <tr>
              <th scope="col">{site.hand}</th>
              <th scope="col" class="site-tick">
                {site.list}
              </th>
              {machines.map(({ code, name }) => (
                <th key={code} scope="col" class="site-tick">
                  {name}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {byRoleAndName(book.operatives).map((operative) => (
              <PersonRow key={operative.id} drafting={drafting} operative={operative} machines={machines} />
            ))}
          </tbody>
        </table>
      </div>
    </>
  );
}

interface RowProps {
  readonly drafting: SiteDrafting;
  readonly operative: Operative;
  readonly machines: Stages;
}

function PersonRow({ drafting, operative: { id, name, role, released }, machines }: RowProps) {
  const faults = drafting.faultsAt(id);
  return (
    <tr>
      <th scope="row">
        <bdi>{name}</bdi> {role !== 'hand' && <span class="desk-calm">{site.roles[role]}</span>}
        <FaultNote faults={faults} book={drafting.book} />
      </th>
      <td class="site-tick">
        <input
          type="checkbox"
          aria-label={site.listFor(name)}
          checked={released !== null}
          disabled={!drafting.canChange}
          onChange={(event) =>
            drafting.change(id, {
              change: 'release-list',
              operative: id,
              kept: event.currentTarget.checked,
            })
          }
        />
      </td>
      {released === null ? (
        <td class="desk-calm site-tick" colSpan={machines.length}>
          {site.everyMachine}
        </td>
      ) : (
        machines.map(({ code, name: stage }) => (
          <td key={code} class="site-tick">
            <input
              type="checkbox"
              aria-label={site.releasedFor(name, stage)}
              checked={released.includes(code)}
              disabled={!drafting.canChange}
              onChange={(event) =>
                drafting.change(id, {
                  change: 'release',
                  operative: id,
                  stage: code,
                  released: event.currentTarget.checked,
                })
              }
            />
          </td>
        ))
      )}
    </tr>
  );
}

/** Hands first, since the list is theirs. */
function byRoleAndName(operatives: readonly Operative[]): readonly Operative[] {
  const rank = ({ role }: Operative) => (role === 'hand' ? 0 : 1);
  return operatives.toSorted((a, b) => rank(a) - rank(b) || (a.name < b.name ? -1 : a.name > b.name ? 1 : 0));
}
