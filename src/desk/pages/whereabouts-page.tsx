/** Where is it: find a pair by whatever is known of it, see where it is, and record what the office has to. */
import '../whereabouts.css';
import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import type { PairId } from '../../domain/ids.ts';
import { dayIn } from '../../domain/whereabouts-promise.ts';
import { whereWords } from '../../words/whereabouts.ts';
import { outOfUseIn } from '../machines.ts';
import type { Office } from '../office.ts';
import type { Print } from '../printing.ts';
import type { Ways } from '../shift/shift-parts.ts';
import { addressOfPair, pairAtAddress } from '../whereabouts-address.ts';
import { aroundIn } from '../whereabouts-around.ts';
import { type ListKind, listingOf } from '../whereabouts-list.ts';
import { type Found, PairIndex } from '../whereabouts-search.ts';
import type { PhotoUrl, RecordsOf } from './pair-given.ts';
import { PairPage } from './pair-page.tsx';
import { ListKinds, WhereaboutsList } from './whereabouts-list.tsx';

interface Props {
  readonly office: Office;
  readonly print: Print;
  readonly recordsOf: RecordsOf;
  readonly photoUrl?: PhotoUrl | undefined;
  /** How to ask the server for the forecast; a page without it does without. */
  readonly ways?: Ways | undefined;
}

const SHOWN_AT_ONCE = 40;

export function WhereaboutsPage({ office, print, recordsOf, photoUrl, ways }: Props) {
  const { pairs, book, now, desk, outOfUse } = office;
  const [chosen, choose] = useChosen();
  const [query, setQuery] = useState('');
  const [kind, setKind] = useState<ListKind>('works');
  const [most, setMost] = useState(SHOWN_AT_ONCE);
  const index = useRef(new PairIndex());
  const around = useMemo(() => aroundIn(pairs, book, outOfUseIn(book, outOfUse)), [pairs, book, outOfUse]);
  const today = dayIn(now, book.timeZone);
  const listing = useMemo(() => listingOf(pairs, kind, today), [pairs, kind, today]);
  const found = useMemo((): readonly Found[] | null => {
    if (query.trim() === '') return null;
    index.current.update(pairs);
    return index.current.search(query, book.ticketPattern);
  }, [pairs, query, book.ticketPattern]);
  const rows = found ?? listing.pairs.map((pair) => ({ pair, by: null, compare: [] }));
  const state = chosen === null ? null : pairs.get(chosen);
  // What was open before must not be below the fold of what is open now.
  useEffect(() => setMost(SHOWN_AT_ONCE), [query, kind]);

  return (
    <main class={chosen === null ? 'desk where' : 'desk where where-chosen'}>
      <section class="where-find" aria-label={whereWords.title}>
        <h1>{whereWords.title}</h1>
        <search>
          <form onSubmit={(event) => submitted(event, rows[0], choose)}>
            <label for="where-search">{whereWords.search}</label>
            <input
              id="where-search"
              type="search"
              dir="auto"
              value={query}
              onInput={(event) => setQuery(event.currentTarget.value)}
              maxLength={80}
              autocomplete="off"
              spellcheck={false}
            />
          </form>
        </search>
        {found === null && <ListKinds kind={kind} counts={listing.counts} onKind={setKind} />}
        {!office.readIn && <p class="where-mind">{whereWords.notReadIn}</p>}
        <WhereaboutsList
          rows={rows.slice(0, most)}
          all={rows.length}
          pairs={pairs}
          naming={{ book, now, desk }}
          around={around}
          chosen={chosen}
          searched={found !== null}
          onChoose={choose}
        />
        {rows.length > most && (
          <button type="button" class="where-more" onClick={() => setMost(most + SHOWN_AT_ONCE)}>
            {whereWords.more}
          </button>
        )}
      </section>
      <section class="where-pair" aria-live="off">
        {chosen !== null && (
          <button type="button" class="where-back" onClick={() => choose(null)}>
            {whereWords.back}
          </button>
        )}
        {state === undefined && <p class="where-choose">{whereWords.gone}</p>}
        {state === null && <p class="where-choose">{whereWords.choose}</p>}
        {state !== null && state !== undefined && (
          <PairPage
            key={state.pair}
            office={office}
            state={state}
            around={around}
            print={print}
            recordsOf={recordsOf}
            photoUrl={photoUrl}
            ways={ways}
          />
        )}
      </section>
    </main>
  );
}

/** A ticket scanned into the search ends with Enter: the first that was found is then meant. */
function submitted(event: Event, first: Found | undefined, choose: (pair: PairId) => void): void {
  event.preventDefault();
  // One that the ticket only may be is looked at, and tapped.
  if (first !== undefined && first.compare.length === 0) choose(first.pair);
}

/** The pair in the address, so that going back, a bookmark and a new load lead to it. */
function useChosen(): [PairId | null, (pair: PairId | null) => void] {
  const [chosen, setChosen] = useState(() => pairAtAddress(location.pathname));
  useEffect(() => {
    const moved = () => setChosen(pairAtAddress(location.pathname));
    window.addEventListener('popstate', moved);
    return () => window.removeEventListener('popstate', moved);
  }, []);
  const choose = (pair: PairId | null) => {
    if (pair === chosen) return;
    history.pushState(null, '', addressOfPair(pair));
    setChosen(pair);
  };
  return [chosen, choose];
}
