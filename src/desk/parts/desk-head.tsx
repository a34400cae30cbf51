/** The head of every page of the desk: where one can go, what waits to be sent, and who is at the desk. */
import { useState } from 'preact/hooks';
import type { OperativeId } from '../../domain/ids.ts';
import { nameOf } from '../../domain/site-book.ts';
import { deskHead, seat } from '../../words/desk.ts';
import { ADDRESSES, DESK_PAGES, type DeskPage } from '../address.ts';
import type { Office } from '../office.ts';
import { DeskLink } from './desk-link.tsx';
import { SeatChooser } from './seat.tsx';

interface Props {
  readonly office: Office;
  readonly page: DeskPage;
  readonly onSeat: (operative: OperativeId | null) => void;
}

export function DeskHead({ office, page, onSeat }: Props) {
  return (
    <header class="desk-top">
      <nav aria-label={deskHead.pages}>
        {DESK_PAGES.map((one) => (
          <DeskLink key={one} href={ADDRESSES[one]} current={one === page}>
            {deskHead.names[one]}
          </DeskLink>
        ))}
      </nav>
      <p class="desk-kept">{office.waiting === 0 ? deskHead.allSent : deskHead.waiting(office.waiting)}</p>
      <Seat office={office} onSeat={onSeat} />
    </header>
  );
}

function Seat({ office: { at, book }, onSeat }: Pick<Props, 'office' | 'onSeat'>) {
  const [choosing, setChoosing] = useState(false);
  const name = nameOf(book, at);
  const take = (operative: OperativeId | null) => {
    setChoosing(false);
    onSeat(operative);
  };
  return (
    <div class="seat">
      <button
        type="button"
        class={at === null ? 'seat-who seat-nobody' : 'seat-who'}
        aria-expanded={choosing}
        onClick={() => setChoosing(!choosing)}
      >
        {name === null ? seat.who : <bdi>{seat.at(name)}</bdi>}
      </button>
      {choosing && (
        <section class="seat-panel" aria-label={seat.who}>
          <SeatChooser book={book} onSeat={take} focused />
          <div class="seat-foot">
            {at !== null && (
              <button type="button" onClick={() => take(null)}>
                {seat.leave}
              </button>
            )}
            <button type="button" onClick={() => setChoosing(false)}>
              {seat.close}
            </button>
          </div>
        </section>
      )}
    </div>
  );
}
