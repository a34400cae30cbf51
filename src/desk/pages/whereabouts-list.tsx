/** The pairs that were found, each with where it is in a line. */
import type { PairState } from '../../domain/fold/pair-state.ts';
import type { PairId } from '../../domain/ids.ts';
import { type Around, whereaboutsOf } from '../../domain/whereabouts.ts';
import { pairShown } from '../../words/desk.ts';
import { jobNames } from '../../words/names.ts';
import { type Naming, placeLine, promiseLine, waitLine, whereWords } from '../../words/whereabouts.ts';
import { KINDS, type ListKind } from '../whereabouts-list.ts';
import type { Found } from '../whereabouts-search.ts';

interface KindsProps {
  readonly kind: ListKind;
  readonly counts: Readonly<Record<ListKind, number>>;
  readonly onKind: (kind: ListKind) => void;
}

export function ListKinds({ kind, counts, onKind }: KindsProps) {
  return (
    <ul class="where-kinds">
      {KINDS.map((one) => (
        <li key={one}>
          <button type="button" aria-pressed={one === kind} onClick={() => onKind(one)}>
            {whereWords.kinds[one]} <b>{counts[one]}</b>
          </button>
        </li>
      ))}
    </ul>
  );
}

interface ListProps {
  readonly rows: readonly Found[];
  readonly all: number;
  readonly pairs: ReadonlyMap<PairId, PairState>;
  readonly naming: Naming;
  readonly around: Around;
  readonly chosen: PairId | null;
  readonly searched: boolean;
  readonly onChoose: (pair: PairId) => void;
}

export function WhereaboutsList({ rows, all, pairs, naming, around, chosen, searched, onChoose }: ListProps) {
  return (
    <>
      <p class="where-count" role="status">
        {all > 0 && whereWords.results(rows.length, all)}
        {all === 0 && (searched ? whereWords.none : whereWords.noneHere)}
      </p>
      <ol class="where-list">
        {rows.map((found) => {
          const state = pairs.get(found.pair);
          return state === undefined ? null : (
            <li key={found.pair}>
              <button
                type="button"
                aria-current={found.pair === chosen ? 'true' : undefined}
                onClick={() => onChoose(found.pair)}
              >
                <Row found={found} state={state} naming={naming} around={around} />
              </button>
            </li>
          );
        })}
      </ol>
    </>
  );
}

type RowProps = { readonly found: Found; readonly state: PairState } & Pick<ListProps, 'naming' | 'around'>;

function Row({ found, state, naming, around }: RowProps) {
  const { details } = state;
  // A row says nothing of queues, which take every pair to count.
  const where = whereaboutsOf(state, naming.book, naming.now, { ...around, queueAt: () => 0 });
  const wait = where.waits.find((one) => one.for !== 'turn');
  const late = where.promise?.stands === 'late' || where.promise?.stands === 'cannot';
  return (
    <>
      <span class="where-row-head">
        <b>{pairShown(found.pair)}</b>
        {details !== null && <bdi dir="auto">{details.ownerRef}</bdi>}
      </span>
      <span class="where-row-what">
        {details === null ? (
          whereWords.neverLogged
        ) : (
          <>
            {jobNames[details.job]}, <bdi dir="auto">{details.style}</bdi>
          </>
        )}
      </span>
      <span class="where-row-place">{placeLine(where.place, naming).says}</span>
      {wait !== undefined && wait.for !== 'logging' && (
        <span class="where-row-wait">
          {whereWords.facts.waits} {waitLine(wait, naming)}
        </span>
      )}
      {where.promise !== null && (
        <span class={late ? 'where-row-promise where-late' : 'where-row-promise'}>
          {whereWords.facts.promise} {promiseLine(where.promise, naming)}
        </span>
      )}
      {found.by === null && found.compare.length > 0 && (
        <span class="where-row-compare">{whereWords.perhaps(found.compare)}</span>
      )}
      {found.by !== null && <span class="where-row-by">{whereWords.found[found.by]}</span>}
    </>
  );
}
