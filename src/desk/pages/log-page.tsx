/** Logging a pair in: one page, from the counter to the ticket. */
import '../logging/logging.css';
import type { OperativeId } from '../../domain/ids.ts';
import { pairShown, seat } from '../../words/desk.ts';
import { logging } from '../../words/logging.ts';
import { ConditionFields } from '../logging/condition-fields.tsx';
import type { DraftKeeping } from '../logging/draft-keeping.ts';
import { JobFields } from '../logging/job-fields.tsx';
import type { KeepPhoto } from '../logging/keep-photo.ts';
import { LoggedPanel } from '../logging/logged-panel.tsx';
import { NoteFields } from '../logging/note-fields.tsx';
import { LineInput, PairFields } from '../logging/pair-fields.tsx';
import { PhotoFields } from '../logging/photo-fields.tsx';
import { useLogging } from '../logging/use-logging.ts';
import { WithPair } from '../logging/with-pair.tsx';
import type { Office } from '../office.ts';
import { SeatChooser } from '../parts/seat.tsx';
import type { Print } from '../printing.ts';

const TICKET_LENGTH = 64;

interface Props {
  readonly office: Office;
  readonly keeping: DraftKeeping;
  readonly print: Print;
  readonly keepPhoto: KeepPhoto;
  readonly photoUrl: (photo: string) => Promise<string | null>;
  readonly onSeat: (operative: OperativeId) => void;
}

export function LogPage({ office, keeping, print, keepPhoto, photoUrl, onSeat }: Props) {
  const page = useLogging(office, keeping);
  const { draft, change, problems, found, usual, today, logged } = page;
  if (logged !== null) {
    return (
      <main class="desk log">
        <LoggedPanel {...logged} waiting={office.waiting} print={print} onNext={page.next} />
      </main>
    );
  }
  const fields = { draft, change, problems };
  return (
    <main class="desk log">
      <header class="desk-head">
        <h1>{logging.title}</h1>
        <p>{page.kept ? logging.kept : logging.notKept}</p>
        {page.inHand !== null && (
          <p class="log-in-hand" role="status">
            {(page.inHand.other ? logging.otherFirst : logging.forTicket)(pairShown(page.inHand.ticket))}
          </p>
        )}
      </header>
      <form
        noValidate
        onSubmit={(event) => {
          event.preventDefault();
          void page.save();
        }}
      >
        <PairFields {...fields} />
        <WithPair {...fields} />
        <ConditionFields {...fields} />
        <NoteFields {...fields} />
        <PhotoFields
          photos={draft.photos}
          onPhotos={page.changePhotos}
          keepPhoto={keepPhoto}
          photoUrl={photoUrl}
        />
        <JobFields {...fields} book={office.book} found={found} usual={usual} today={today} />
        <section class="log-part log-end">
          <LineInput
            id="log-ticket"
            label={logging.ticket}
            hint={logging.ticketHint}
            text={draft.ticket}
            most={TICKET_LENGTH}
            problem={problems.ticket}
            code
            onText={(ticket) => change({ ticket })}
          />
          <p class="field-says" role="status">
            {page.says}
          </p>
          {office.at === null && (
            <div class="log-nobody">
              <p>
                <b>{seat.who}</b> {logging.nobody}
              </p>
              <SeatChooser book={office.book} onSeat={onSeat} focused={false} />
            </div>
          )}
          <div class="log-buttons">
            <button type="submit" class="log-main" aria-disabled={office.at === null || page.saving}>
              {page.saving ? logging.saving : logging.save}
            </button>
            <ClearButton sure={page.clearing} empty={page.empty} onClear={page.clear} />
          </div>
        </section>
      </form>
    </main>
  );
}

function ClearButton(props: {
  readonly sure: boolean;
  readonly empty: boolean;
  readonly onClear: () => void;
}) {
  if (props.empty) return null;
  return (
    <button type="button" class="log-quiet" onClick={props.onClear}>
      {props.sure ? logging.clearSure : logging.clear}
    </button>
  );
}
