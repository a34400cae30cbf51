import { live } from '../../words/desk.ts';
import type { StageRow } from '../rows.ts';
import { OpenBlocks, OutOfIn } from './bars.tsx';

/** What went through each stage, in the order of the route. */
export function StageTable(props: { rows: readonly StageRow[]; full: number; foot: string }) {
  return (
    <section class="desk-stages" aria-labelledby="desk-stages">
      <h2 id="desk-stages">{live.stages}</h2>
      <table>
        <thead>
          <tr>
            <th scope="col">{live.stage}</th>
            <th scope="col" class="desk-number">
              {live.pairsIn}
            </th>
            <th scope="col" class="desk-number">
              {live.pairsOut}
            </th>
            <td class="desk-bar-cell" />
            <th scope="col" class="desk-number">
              {live.openNow}
            </th>
            <td class="desk-blocks-cell" />
          </tr>
        </thead>
        <tbody>
          {props.rows.map((row) =>
            row.is === 'quiet' ? (
              <tr key={row.first} class="desk-quiet">
                <td colSpan={6}>
                  <span class="desk-heard-only">{live.nothingAt} </span>
                  {row.names.join(', ')}
                </td>
              </tr>
            ) : (
              <tr key={row.stage}>
                <th scope="row" class="desk-stage">
                  {row.name}
                </th>
                <td class="desk-number">
                  <Count of={row.pairsIn} />
                </td>
                <td class="desk-number desk-main-number">
                  <Count of={row.pairsOut} />
                </td>
                <td class="desk-bar-cell">
                  <OutOfIn pairsIn={row.pairsIn} pairsOut={row.pairsOut} full={props.full} />
                </td>
                <td class="desk-number">
                  <Count of={row.openNow} />
                </td>
                <td class="desk-blocks-cell">
                  <OpenBlocks openNow={row.openNow} left={row.left} />
                </td>
              </tr>
            ),
          )}
        </tbody>
      </table>
      <p class="desk-foot">{props.foot}</p>
    </section>
  );
}

/** A nought is a quiet dot to the eye and a nought to the ear. */
function Count(props: { of: number }) {
  if (props.of > 0) return <>{props.of}</>;
  return (
    <>
      <span aria-hidden="true">·</span>
      <span class="desk-heard-only">0</span>
    </>
  );
}
