/** What a supervisor looks at when the shift ends: each line a count in a shape, with its word; it opens to its pairs. */
import type { ComponentChildren } from 'preact';
import { useMemo } from 'preact/hooks';
import { MINUTE_MS } from '../../domain/instant.ts';
import { shiftEnd } from '../../domain/shift-end.ts';
import { SHIFT_END_KINDS, type ShiftEndItem, type ShiftEndKind } from '../../domain/shift-end-items.ts';
import '../../parts/drawings.css';
import { WeightMark } from '../../parts/weight-mark.tsx';
import type { SheetAnswer } from '../../wire/sheet.ts';
import { pairShown } from '../../words/desk.ts';
import { countShown, endHint, endLine, endWeights, endWhy, endWords } from '../../words/shift-end.ts';
import type { Office } from '../office.ts';
import { PairLink } from '../parts/pair-link.tsx';
import { PutRightMade, type SettlingNow, useSettling } from '../parts/put-right-made.tsx';
import { mayPutRight } from '../put-right-acts.ts';
import { PutRightLine } from './put-right-line.tsx';

/** More of a kind than these are for the whereabouts' own lists. */
const SHOWN = 40;

interface Props {
  readonly office: Office;
  readonly shift: SheetAnswer['shift'];
}

export function BeforeYouGo({ office, shift }: Props) {
  const { pairs, book, outOfUse, readIn } = office;
  // To the minute: nothing on the list turns sooner, and hundreds of pairs are held against their routes.
  const now = Math.floor(office.now / MINUTE_MS) * MINUTE_MS;
  const found = useMemo(
    () => shiftEnd(pairs.values(), { book, outOfUse, shift, now }),
    [pairs, book, outOfUse, shift.from, now],
  );
  const settling = useSettling(office);
  const kinds = SHIFT_END_KINDS.filter((kind) => found[kind].length > 0);
  const none = SHIFT_END_KINDS.filter((kind) => found[kind].length === 0);
  return (
    <section class="shift-end" aria-labelledby="shift-end">
      <h2 id="shift-end">{endWords.title}</h2>
      {!readIn && <p class="desk-calm">{endWords.reading}</p>}
      <PutRightLine office={office} />
      <PutRightMade settling={settling} />
      {kinds.map((kind) => (
        <Kind key={kind} kind={kind} items={found[kind]} office={office} settling={settling} />
      ))}
      {none.length > 0 && (
        <p class="shift-end-none">
          {endWords.none} {none.map((kind) => endWords.name(kind).toLowerCase()).join(', ')}
        </p>
      )}
    </section>
  );
}

interface KindProps {
  readonly kind: ShiftEndKind;
  readonly items: readonly ShiftEndItem[];
  readonly office: Office;
  readonly settling: SettlingNow;
}

function Kind({ kind, items, office, settling }: KindProps) {
  const may = mayPutRight(office.at, office.book);
  return (
    <details>
      <summary>
        <WeightMark weight={endWeights[kind]} label={countShown(items.length)} size={40} />
        <span>
          <b>{endWords.name(kind)}</b>
          <span>{endHint(kind, items, office)}</span>
        </span>
      </summary>
      {kind === 'learners' && !may && <p class="desk-calm">{endWords.lookedHint}</p>}
      <ul class="shift-end-items">
        {items.slice(0, SHOWN).map((one) => (
          <Item
            key={`${one.pair} ${one.record} ${one.stage} ${one.bench}`}
            kind={kind}
            one={one}
            office={office}
          >
            {kind === 'learners' && may && <LookedAt one={one} office={office} settling={settling} />}
          </Item>
        ))}
        {items.length > SHOWN && <li>{endWords.more(items.length - SHOWN)}</li>}
      </ul>
    </details>
  );
}

interface ItemProps extends Omit<KindProps, 'items' | 'settling'> {
  readonly one: ShiftEndItem;
  readonly children: ComponentChildren;
}

function Item({ kind, one, office, children }: ItemProps) {
  const why = endWhy(kind, one);
  return (
    <li>
      {one.pair !== null && <PairLink pair={one.pair} />}
      <span>{endLine(kind, one, office)}</span>
      {why !== null && <bdi>{why}</bdi>}
      {children}
    </li>
  );
}

function LookedAt({ one, office, settling }: Pick<ItemProps, 'one' | 'office'> & { settling: SettlingNow }) {
  const { pair, record: of } = one;
  if (pair === null || of === null) return null;
  const said = { pair, of, what: 'learners-work', why: endWords.lookedWhy } as const;
  const what = `${endWords.looked}, ${pairShown(pair)}, ${endLine('learners', one, office)}`;
  return (
    <button
      type="button"
      aria-disabled={settling.busy}
      aria-label={what}
      onClick={() => void settling.settle({ is: 'acts', acts: [{ kind: 'looked-into', said }] }, what)}
    >
      {endWords.looked}
    </button>
  );
}
