/** The site's racks: code, name and what stands on them. */
import { useState } from 'preact/hooks';
import { inGroups, issueToken } from '../../domain/code.ts';
import type { PairState } from '../../domain/fold/pair-state.ts';
import type { SiteBook } from '../../domain/site-book.ts';
import { site } from '../../words/site.ts';
import type { SiteDrafting } from './site-drafting.ts';
import { FaultNote } from './site-fault.tsx';

const NEW = 'new rack';
const DRAW_BYTES = 32;

interface Props {
  readonly drafting: SiteDrafting;
  readonly pairs: ReadonlyMap<string, PairState>;
}

export function RacksTab({ drafting, pairs }: Props) {
  const { racks } = drafting.book;
  const on = new Map<string, number>();
  for (const { rack } of pairs.values()) if (rack !== null) on.set(rack, (on.get(rack) ?? 0) + 1);
  return (
    <>
      <p class="desk-calm site-intro">{site.racksHint}</p>
      {racks.length === 0 ? (
        <p>{site.noRacks}</p>
      ) : (
        <table class="site-racks">
          <thead>
            <tr>
              <th scope="col">{site.rack}</th>
              <th scope="col">{site.rackCode}</th>
              <th scope="col" class="desk-number">
                {site.pairsOn}
              </th>
              <td />
            </tr>
          </thead>
          <tbody>
            {racks.map((rack) => (
              <RackRow key={rack.rack} drafting={drafting} rack={rack} pairsOn={on.get(rack.rack) ?? 0} />
            ))}
          </tbody>
        </table>
      )}
      <NewRack drafting={drafting} />
    </>
  );
}

interface RowProps {
  readonly drafting: SiteDrafting;
  readonly rack: SiteBook['racks'][number];
  readonly pairsOn: number;
}

function RackRow({ drafting, rack: { rack, name }, pairsOn }: RowProps) {
  const [typed, setTyped] = useState<string | null>(null);
  const rename = () => {
    if (typed !== null && drafting.change(rack, { change: 'name-rack', rack, name: typed })) setTyped(null);
  };
  return (
    <tr>
      <th scope="row">
        {typed === null ? (
          name
        ) : (
          <input
            value={typed}
            maxLength={60}
            aria-label={site.name}
            onInput={(event) => setTyped(event.currentTarget.value)}
          />
        )}
        <FaultNote faults={drafting.faultsAt(rack)} book={drafting.book} />
      </th>
      <td class="site-rack-code">{inGroups(rack).join(' ')}</td>
      <td class="desk-number">{pairsOn}</td>
      <td>
        <div class="site-buttons">
          {typed === null ? (
            <button type="button" disabled={!drafting.canChange} onClick={() => setTyped(name)}>
              {site.rename}
            </button>
          ) : (
            <button type="button" class="site-main" disabled={!drafting.canChange} onClick={rename}>
              {site.take}
            </button>
          )}
          <button
            type="button"
            class="site-danger"
            disabled={!drafting.canChange}
            onClick={() => drafting.change(rack, { change: 'remove-rack', rack })}
          >
            {site.removeRack}
          </button>
        </div>
      </td>
    </tr>
  );
}

function NewRack({ drafting }: { drafting: SiteDrafting }) {
  const [name, setName] = useState('');
  const add = () => {
    if (drafting.change(NEW, { change: 'add-rack', rack: drawnCode(), name })) setName('');
  };
  return (
    <form
      class="site-form site-new-rack"
      onSubmit={(event) => {
        event.preventDefault();
        add();
      }}
    >
      <h2>{site.newRack}</h2>
      <label>
        {site.name}
        <input
          value={name}
          maxLength={60}
          disabled={!drafting.canChange}
          onInput={(event) => setName(event.currentTarget.value)}
        />
      </label>
      <FaultNote faults={drafting.faultsAt(NEW)} book={drafting.book} />
      <div class="site-buttons">
        <button type="submit" class="site-main" disabled={!drafting.canChange}>
          {site.add}
        </button>
      </div>
    </form>
  );
}

/** A rack's code from random bytes; some draws end on a check character that is never issued. */
function drawnCode(): string {
  for (;;) {
    const code = issueToken('rack', crypto.getRandomValues(new Uint8Array(DRAW_BYTES)));
    if (code !== null) return code;
  }
}
