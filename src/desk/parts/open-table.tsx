import type { Instant } from '../../domain/instant.ts';
import { live, pairShown } from '../../words/desk.ts';
import type { OpenRow } from '../rows.ts';

/** What is clocked in at this moment, the longest open first. */
export function OpenTable(props: { rows: readonly OpenRow[]; now: Instant; zone: string }) {
  const { rows, now, zone } = props;
  return (
    <section aria-labelledby="desk-open">
      <h2 id="desk-open">{live.open}</h2>
      {rows.length === 0 ? (
        <p class="desk-calm">{live.noneOpen}</p>
      ) : (
        <table class="desk-open">
          <thead>
            <tr>
              {[live.pair, live.stage, live.bench, live.hand, live.since].map((title) => (
                <th key={title} scope="col">
                  {title}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {rows.map((row) => (
              <tr key={row.spell} class={row.left ? 'desk-left' : undefined}>
                <th scope="row" class="desk-pair">
                  {pairShown(row.pair)}
                </th>
                <td>{row.stage}</td>
                <td>{row.bench}</td>
                <td class={row.hand === null ? 'desk-calm' : undefined}>{row.hand ?? live.nobody}</td>
                <td>
                  <span class="desk-since">{live.when(row.since, now, zone)}</span>{' '}
                  <span class="desk-age">
                    {row.left ? live.beforeShift : live.length(Math.max(0, now - row.since))}
                  </span>
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </section>
  );
}
