/** Saying who is at the desk: by badge, or from the list of office and supervisors. */
import { useEffect, useRef, useState } from 'preact/hooks';
import { classify } from '../../domain/code.ts';
import { holderOf } from '../../domain/code-hash.ts';
import type { OperativeId } from '../../domain/ids.ts';
import { nameOf, type SiteBook } from '../../domain/site-book.ts';
import { seat } from '../../words/desk.ts';
import { deskPeople, stillAt } from '../at-desk.ts';
import { useOwnId } from './use-own-id.ts';

interface Props {
  readonly book: SiteBook;
  readonly onSeat: (operative: OperativeId) => void;
  /** Whether the badge's field takes the focus: a wedge scanner types into whatever has it. */
  readonly focused: boolean;
}

export function SeatChooser({ book, onSeat, focused }: Props) {
  const id = useOwnId();
  const [says, setSays] = useState<string | null>(null);
  const field = useRef<HTMLInputElement>(null);
  const people = deskPeople(book);
  // Once, when it opens.
  useEffect(() => {
    if (focused) field.current?.focus();
  }, []);

  const read = (text: string) => {
    if (field.current !== null) field.current.value = '';
    const found = holderAtDesk(book, text);
    if (found.is === 'holder') onSeat(found.operative);
    else setSays(found.says);
  };

  return (
    <div class="seat-chooser">
      {/* No form: this may stand in one. */}
      <div>
        <label for={id}>{seat.badge}</label>
        <input
          id={id}
          ref={field}
          type="text"
          maxLength={64}
          onKeyDown={(event) => {
            if (event.key !== 'Enter') return;
            event.preventDefault();
            read(event.currentTarget.value);
          }}
          autocomplete="off"
          autocapitalize="characters"
          spellcheck={false}
          aria-describedby={`${id}-hint ${id}-says`}
        />
        <p id={`${id}-hint`} class="desk-calm">
          {seat.badgeHint}
        </p>
        <p id={`${id}-says`} class="field-says" aria-live="polite">
          {says}
        </p>
      </div>
      {people.length === 0 ? (
        <p>{seat.noNames}</p>
      ) : (
        <ul class="seat-names" aria-label={seat.names}>
          {people.map(({ id, name }) => (
            <li key={id}>
              <button type="button" onClick={() => onSeat(id)}>
                <bdi>{name}</bdi>
              </button>
            </li>
          ))}
        </ul>
      )}
    </div>
  );
}

type Found =
  | { readonly is: 'holder'; readonly operative: OperativeId }
  | { readonly is: 'nobody'; readonly says: string };

function holderAtDesk(book: SiteBook, text: string): Found {
  const code = classify(text, 'typed', book.ticketPattern);
  if (code.kind !== 'badge') return { is: 'nobody', says: seat.notABadge };
  const holder = holderOf(book, code.token);
  if (holder === null) return { is: 'nobody', says: seat.unknownBadge };
  const operative = stillAt(book, holder);
  if (operative === null) return { is: 'nobody', says: seat.handsBadge(nameOf(book, holder) ?? '') };
  return { is: 'holder', operative };
}
