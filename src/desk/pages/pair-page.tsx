/** One pair at the desk: what to say to its owner, all that is known of it, and what can be recorded about it. */
import { useEffect, useState } from 'preact/hooks';
import type { Placed } from '../../domain/fold/order.ts';
import type { PairState } from '../../domain/fold/pair-state.ts';
import { type Around, whereaboutsOf } from '../../domain/whereabouts.ts';
import { accountOf } from '../../domain/whereabouts-account.ts';
import { pairShown } from '../../words/desk.ts';
import { jobNames } from '../../words/names.ts';
import { whereWords } from '../../words/whereabouts.ts';
import { ownerSentences } from '../../words/whereabouts-sentence.ts';
import { addressToLog } from '../logging/ticket-in-hand.ts';
import type { Office } from '../office.ts';
import { DeskLink } from '../parts/desk-link.tsx';
import type { Print } from '../printing.ts';
import type { Ways } from '../shift/shift-parts.ts';
import { dayInstead, useForecast } from '../shift/use-forecast.ts';
import { PairAccount } from './pair-account.tsx';
import { PairActs } from './pair-acts.tsx';
import { PairFacts } from './pair-facts.tsx';
import type { PhotoUrl, RecordsOf } from './pair-given.ts';
import { PairNotes } from './pair-notes.tsx';
import { PairPictures } from './pair-pictures.tsx';
import { PairStages } from './pair-stages.tsx';

interface Props {
  readonly office: Office;
  readonly state: PairState;
  readonly around: Around;
  readonly print: Print;
  readonly recordsOf: RecordsOf;
  readonly photoUrl?: PhotoUrl | undefined;
  readonly ways?: Ways | undefined;
}

export function PairPage({ office, state, around, print, recordsOf, photoUrl, ways }: Props) {
  const { book, now, desk, upTo } = office;
  const naming = { book, now, desk };
  const records = useRecords(recordsOf, state);
  const account = records === null || records === 'unreadable' ? records : accountOf(records, state);
  const where = whereaboutsOf(state, book, now, around);
  const { details } = state;
  const forecast = useForecast(ways ?? null, state.pair);
  return (
    <article class="pair" aria-labelledby="pair-number">
      <header class="pair-head">
        <h2 id="pair-number">{pairShown(state.pair)}</h2>
        {details === null ? (
          <>
            <p>{whereWords.neverLogged}</p>
            <p>
              <DeskLink href={addressToLog(state.pair)}>{whereWords.logIt}</DeskLink>
            </p>
          </>
        ) : (
          <>
            <p>
              <bdi dir="auto">{details.ownerRef}</bdi>
            </p>
            <p class="pair-what">
              {jobNames[details.job]}, <bdi dir="auto">{details.style}</bdi>
            </p>
          </>
        )}
        {state.reprints > 0 && <p class="pair-what">{whereWords.reprints(state.reprints)}</p>}
      </header>
      <section class="pair-tell" aria-labelledby="pair-tell">
        <h3 id="pair-tell">{whereWords.tell}</h3>
        <p>{ownerSentences(where, { book, now, upTo, instead: dayInstead(forecast) }).join(' ')}</p>
      </section>
      <div class="pair-columns">
        <div class="pair-column">
          <PairFacts state={state} where={where} naming={naming} forecast={forecast} />
          <PairActs office={office} state={state} account={account} print={print} />
          <PairNotes where={where} naming={naming} />
          {state.pictures.length > 0 && (
            <PairPictures pictures={state.pictures} naming={naming} photoUrl={photoUrl} />
          )}
        </div>
        <div class="pair-column">
          <PairStages state={state} where={where} naming={naming} />
        </div>
      </div>
      <PairAccount account={account} naming={naming} />
    </article>
  );
}

/** Read anew whenever the pair is another than it was; what was read stays on the screen until then. */
function useRecords(recordsOf: RecordsOf, state: PairState): readonly Placed[] | null | 'unreadable' {
  const [records, setRecords] = useState<readonly Placed[] | null | 'unreadable'>(null);
  useEffect(() => {
    let current = true;
    recordsOf(state.pair).then(
      (read) => current && setRecords(read),
      () => current && setRecords('unreadable'),
    );
    return () => {
      current = false;
    };
  }, [recordsOf, state]);
  return records;
}
