/** What nobody has come back to, the oldest first, each with the way to its pair. */
import type { ComponentChildren } from 'preact';
import { useMemo } from 'preact/hooks';
import type { PairId } from '../../domain/ids.ts';
import { toLookAt } from '../../domain/to-look-at.ts';
import { when } from '../../words/format.ts';
import { lookWords } from '../../words/to-look-at.ts';
import { ADDRESSES } from '../address.ts';
import type { Office } from '../office.ts';
import { DeskLink } from './desk-link.tsx';
import { PairLink } from './pair-link.tsx';

/** More than these are for the whereabouts' own lists. */
const SHOWN = 8;

export function LookList({ office }: { readonly office: Office }) {
  const { pairs, book, now } = office;
  const { longParted, reviews } = useMemo(() => toLookAt(pairs.values(), book, now), [pairs, book, now]);
  const at = (instant: number) => when(instant, now, book.timeZone);
  const rows = [
    ...longParted.map(({ pair, parted }) => (
      <PairRow key={parted.id} pair={pair}>
        <p>{lookWords.parted(parted.shoe, at(parted.at))}</p>
        <span dir="auto">{parted.why}</span>
      </PairRow>
    )),
  ];
  const [oldest] = reviews;
  return (
    <section aria-labelledby="desk-look">
      <h2 id="desk-look">{lookWords.title}</h2>
      {rows.length === 0 && oldest === undefined && <p class="desk-calm">{lookWords.nothing}</p>}
      <ul class="desk-look">
        {rows.slice(0, SHOWN)}
        {rows.length > SHOWN && <li class="desk-calm">{lookWords.more(rows.length - SHOWN)}</li>}
        {oldest !== undefined && (
          <li>
            <DeskLink href={ADDRESSES.site}>{lookWords.reviews(reviews.length)}</DeskLink>
            <span>{lookWords.oldest(oldest.review)}</span>
          </li>
        )}
      </ul>
    </section>
  );
}

function PairRow({ pair, children }: { readonly pair: PairId; readonly children: ComponentChildren }) {
  return (
    <li>
      <PairLink pair={pair} />
      {children}
    </li>
  );
}
