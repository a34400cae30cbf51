/** What is known of a pair, as a list to be read at arm's length. */
import type { ComponentChildren } from 'preact';
import { flagsAt } from '../../domain/flags.ts';
import type { PairState } from '../../domain/fold/pair-state.ts';
import { SIDES } from '../../domain/record/kinds.ts';
import type { Whereabouts } from '../../domain/whereabouts.ts';
import { flagNames } from '../../words/doubt-names.ts';
import { when } from '../../words/format.ts';
import { shoeNames } from '../../words/names.ts';
import { readyWords } from '../../words/shift.ts';
import {
  apartWords,
  type Naming,
  placeLine,
  promiseLine,
  shoePlaceLine,
  waitLine,
  whereWords,
} from '../../words/whereabouts.ts';
import { changesShown, handShown, stageShown } from '../../words/whereabouts-account.ts';
import { ReadyBy } from '../shift/ready-by.tsx';
import { dayInstead, type ForecastOfPair } from '../shift/use-forecast.ts';

interface Props {
  readonly state: PairState;
  readonly where: Whereabouts;
  readonly naming: Naming;
  /** Null where the page cannot ask for it. */
  readonly forecast: ForecastOfPair | null;
}

export function PairFacts({ state, where, naming, forecast }: Props) {
  const { facts } = whereWords;
  const { book } = naming;
  const place = placeLine(where.place, naming);
  const { details, logged } = state;
  const flags = [...new Set(flagsAt(state, book).map(({ flag }) => flagNames[flag]))];
  const late =
    where.promise?.stands === 'late' ||
    where.promise?.stands === 'cannot' ||
    (state.closedAt === null && dayInstead(forecast) !== null);
  return (
    <>
      <dl class="pair-facts">
        <Fact name={facts.where}>
          <b>{place.says}</b>
          {place.more !== '' && <Text>{place.more}</Text>}
        </Fact>
        {where.parted !== null && (
          <Fact name={facts.shoes}>
            <Text>{where.parted.why}</Text>
            {SIDES.map((side) => (
              <Text key={side}>
                {shoeNames[side]}:{' '}
                {where.parted === null ? '' : shoePlaceLine(where.parted.shoes[side], naming)}
              </Text>
            ))}
          </Fact>
        )}
        {where.place.is !== 'out' && <Waits where={where} naming={naming} />}
        {where.due.length > 0 && (
          <Fact name={facts.next}>{where.due.map((stage) => stageShown(book, stage)).join(', ')}</Fact>
        )}
        {where.promise !== null && (
          <Fact name={facts.promise}>
            <span class={late ? 'where-late' : ''}>{promiseLine(where.promise, naming)}</span>
          </Fact>
        )}
        {forecast !== null && state.closedAt === null && state.logged !== null && (
          <Fact name={readyWords.fact}>
            <ReadyBy forecast={forecast} book={book} />
          </Fact>
        )}
        {where.last !== null && <Fact name={facts.last}>{lastLine(where.last)}</Fact>}
        {where.timesBack > 0 && <Fact name={facts.back}>{whereWords.timesBack(where.timesBack)}</Fact>}
        {details?.asked != null && <Fact name={facts.asked}>{details.asked}</Fact>}
        {details?.maker != null && <Fact name={facts.maker}>{details.maker}</Fact>}
        {logged !== null && logged.withPair.length > 0 && (
          <Fact name={facts.with}>{logged.withPair.join(', ')}</Fact>
        )}
        {flags.length > 0 && <Fact name={facts.flags}>{flags.join(', ')}</Fact>}
        <Fact name={facts.ask}>{book.ask}</Fact>
      </dl>
      {where.amendedApart.length > 0 && <Apart state={state} naming={naming} />}
    </>
  );
}

function Waits({ where, naming }: Omit<Props, 'state' | 'forecast'>) {
  return (
    <Fact name={whereWords.facts.waits}>
      {where.waits.length === 0 && whereWords.nothing}
      {where.waits.map((waiting) => {
        const line = waitLine(waiting, naming);
        return <Text key={line}>{line}</Text>;
      })}
    </Fact>
  );
}

/** Every amendment with who made it, so that the two that were made apart can be held against each other. */
function Apart({ state, naming }: Pick<Props, 'state' | 'naming'>) {
  const { book, now } = naming;
  return (
    <section class="pair-apart" aria-labelledby="pair-apart">
      <h3 id="pair-apart">{apartWords.title}</h3>
      <p>{apartWords.next}</p>
      <ul>
        {state.amended.map(({ id, at, by, changes, why }) => (
          <li key={id}>
            <b dir="auto">{changesShown(changes)}</b>
            <Text>
              {handShown(book, by)}, {when(at, now, book.timeZone)}: {why}
            </Text>
          </li>
        ))}
      </ul>
    </section>
  );
}

function lastLine({ last, inIt, heldBy }: NonNullable<Whereabouts['last']>): string {
  if (inIt) return whereWords.lastIn(last);
  return heldBy === null ? whereWords.lastFree(last) : whereWords.lastHeld(last, heldBy);
}

function Fact({ name, children }: { readonly name: string; readonly children: ComponentChildren }) {
  return (
    <div>
      <dt>{name}</dt>
      <dd dir="auto">{children}</dd>
    </div>
  );
}

/** A line of its own, which may hold what somebody typed in any script. */
function Text({ children }: { readonly children: ComponentChildren }) {
  return (
    <span class="pair-line" dir="auto">
      {children}
    </span>
  );
}
