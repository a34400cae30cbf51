/** What is to be put right, by kind, the oldest first. A supervisor settles each in two taps: the item, then the answer. */
import { useState } from 'preact/hooks';
import type { RecordId } from '../../domain/ids.ts';
import type { PutRightItem } from '../../domain/put-right.ts';
import { PUT_RIGHT_KINDS, type PutRightKind } from '../../domain/record/kinds.ts';
import { nameOf } from '../../domain/site-book.ts';
import { pairShown } from '../../words/desk.ts';
import { itemLine, itemMore, putRightWords } from '../../words/put-right.ts';
import '../put-right.css';
import type { Office } from '../office.ts';
import { mayPutRight, putRightList, supervisorsOf } from '../put-right-acts.ts';
import { PutRightMade, useSettling } from './put-right-made.tsx';
import { PutRightMark } from './put-right-mark.tsx';
import { PutRightPanel } from './put-right-panel.tsx';

/** More of a kind than these are shown when asked for. */
const SHOWN = 5;

export function PutRight({ office }: { readonly office: Office }) {
  const items = putRightList(office);
  const settling = useSettling(office);
  const [open, setOpen] = useState<string | null>(null);
  const groups = PUT_RIGHT_KINDS.map((kind) => ({ kind, of: items.filter((item) => item.kind === kind) }));
  return (
    <section class="put-right" aria-labelledby="desk-put-right">
      <h2 id="desk-put-right">{putRightWords.title}</h2>
      {items.length === 0 ? <p class="desk-calm">{putRightWords.nothing}</p> : <WhoMay office={office} />}
      <PutRightMade settling={settling} />
      {groups
        .filter(({ of }) => of.length > 0)
        .map(({ kind, of }) => (
          <Group key={kind} kind={kind} items={of}>
            {(item) => (
              <Row
                key={keyOf(item)}
                item={item}
                office={office}
                open={open === keyOf(item)}
                onOpen={(isOpen) => {
                  settling.forgetProblem();
                  setOpen(isOpen ? keyOf(item) : null);
                }}
                settling={settling}
              />
            )}
          </Group>
        ))}
    </section>
  );
}

const keyOf = ({ kind, of }: { readonly kind: PutRightKind; readonly of: RecordId }): string =>
  `${kind}-${of}`;

function WhoMay({ office: { at, book } }: { readonly office: Office }) {
  if (mayPutRight(at, book)) return null;
  return (
    <p class="put-right-who">
      {at === null
        ? putRightWords.nobody
        : putRightWords.notSupervisor(nameOf(book, at), supervisorsOf(book))}
    </p>
  );
}

interface GroupProps {
  readonly kind: PutRightKind;
  readonly items: readonly PutRightItem[];
  readonly children: (item: PutRightItem) => preact.JSX.Element;
}

function Group({ kind, items, children }: GroupProps) {
  const [all, setAll] = useState(false);
  const shown = all ? items : items.slice(0, SHOWN);
  return (
    <section class="put-right-kind" aria-labelledby={`put-right-${kind}`}>
      <header>
        <PutRightMark kind={kind} count={items.length} />
        <div>
          <h3 id={`put-right-${kind}`}>{putRightWords.kind(kind)}</h3>
          <p>{putRightWords.hint(kind)}</p>
        </div>
      </header>
      <ul>{shown.map(children)}</ul>
      {items.length > shown.length && (
        <button type="button" class="put-right-more" onClick={() => setAll(true)}>
          {putRightWords.more(items.length - shown.length)}
        </button>
      )}
    </section>
  );
}

interface RowProps {
  readonly item: PutRightItem;
  readonly office: Office;
  readonly open: boolean;
  readonly onOpen: (open: boolean) => void;
  readonly settling: ReturnType<typeof useSettling>;
}

function Row({ item, office, open, onOpen, settling }: RowProps) {
  const id = `put-right-panel-${keyOf(item)}`;
  const more = itemMore(item, office);
  return (
    <li>
      <button
        type="button"
        class="put-right-item"
        aria-expanded={open}
        aria-controls={open ? id : undefined}
        onClick={() => onOpen(!open)}
      >
        {item.pair !== null && <b>{pairShown(item.pair)}</b>}
        <span>{itemLine(item, office)}</span>
        {more !== null && <span>{more}</span>}
      </button>
      {open && <PutRightPanel id={id} item={item} office={office} settling={settling} />}
    </li>
  );
}
