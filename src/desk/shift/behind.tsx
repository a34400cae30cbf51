/** The records behind a number, over the page until it is closed. */
import '../shift-behind.css';
import { useEffect, useRef } from 'preact/hooks';
import { asPairId } from '../../domain/ids.ts';
import { DAY_MS } from '../../domain/instant.ts';
import type { LedgerRecord } from '../../domain/record/kinds.ts';
import { readRecord } from '../../domain/record/reading.ts';
import type { SiteBook } from '../../domain/site-book.ts';
import { type BehindAnswer, behindAnswerSchema } from '../../wire/sheet.ts';
import { clockTime, dayOf } from '../../words/format.ts';
import { pairs, shiftWords, work } from '../../words/shift.ts';
import { handShown, recordLine } from '../../words/whereabouts-account.ts';
import { PairLink } from '../parts/pair-link.tsx';
import type { Opened, Reading, Ways } from './shift-parts.ts';
import { useAsked } from './use-asked.ts';

const { behind } = shiftWords;

interface Props {
  readonly ways: Ways;
  readonly shift: number;
  readonly opened: Opened;
  readonly book: SiteBook;
  readonly reading: Reading;
  readonly onClose: () => void;
}

export function Behind({ ways, shift, opened, book, reading, onClose }: Props) {
  const { figure, of, name, badge } = opened;
  const dialog = useRef<HTMLDialogElement>(null);
  const query = new URLSearchParams({ shift: String(shift), figure, of });
  const [path, body] =
    badge === undefined
      ? [`/api/sheet/behind?${query}`, null]
      : ['/api/sheet/behind', JSON.stringify({ shift, figure, of, badge })];
  const { value, trouble } = useAsked(ways, path, behindAnswerSchema, null, 0, body);
  useEffect(() => {
    // Shown as a modal it keeps the focus and closes by Escape.
    dialog.current?.showModal();
  }, []);
  return (
    <dialog ref={dialog} class="shift-behind" onClose={onClose}>
      <header>
        <h2>{behind.title(shiftWords.figures[figure], name)}</h2>
        <button type="button" onClick={() => dialog.current?.close()}>
          {behind.close}
        </button>
      </header>
      {value === null && <p role="status">{trouble === null ? behind.asking : behind.failed}</p>}
      {value !== null && <Members answer={value} book={book} reading={reading} />}
    </dialog>
  );
}

interface MembersProps {
  readonly answer: BehindAnswer;
  readonly book: SiteBook;
  readonly reading: Reading;
}

function Members({ answer: { members, more }, book, reading }: MembersProps) {
  if (members.length === 0) return <p>{behind.none}</p>;
  return (
    <>
      <ol>
        {members.map(({ pair, share, ms, records }, index) => (
          <li key={`${pair} ${index}`}>
            <p class="shift-member">
              <PairLink pair={asPairId(pair)} />
              {share < 1 && <span>{`${pairs(share)}, ${behind.half}`}</span>}
              {ms !== null && <b>{ms < 2 * DAY_MS ? work(ms) : shiftWords.length(ms)}</b>}
            </p>
            <ul>
              {records.flatMap(read).map((record) => (
                <li key={record.id}>
                  <span>{`${dayOf(record.at, reading.zone)}, ${clockTime(record.at, reading.zone)}`}</span>
                  <span>{recordLine(record, book)}</span>
                  <bdi>{handShown(book, record.by)}</bdi>
                  <span>{benchShown(book, record.bench)}</span>
                </li>
              ))}
            </ul>
          </li>
        ))}
      </ol>
      {more > 0 && <p>{behind.more(more)}</p>}
    </>
  );
}

/** What a newer bench made and this page cannot read is left to the pair's own account. */
function read(raw: unknown): readonly LedgerRecord[] {
  const found = readRecord(raw);
  return found.is === 'record' ? [found.record] : [];
}

function benchShown({ benches }: SiteBook, bench: string): string {
  return benches.find((one) => one.bench === bench)?.name ?? bench;
}
