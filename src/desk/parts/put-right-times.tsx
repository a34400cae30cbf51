/** Choosing when work ended: instants that the records know, each named; or a time that somebody types. */
import type { Instant } from '../../domain/instant.ts';
import type { PutRightItem } from '../../domain/put-right.ts';
import type { TimesChosen } from '../../domain/put-right-drafts.ts';
import type { Settling } from '../../domain/put-right-settlings.ts';
import { instantShown, putRightWords, workShown } from '../../words/put-right.ts';
import type { Office } from '../office.ts';
import { giveTime } from '../put-right-acts.ts';
import type { SettlingNow } from './put-right-made.tsx';
import { useTypedTime } from './put-right-typed.tsx';

interface Props {
  readonly item: PutRightItem;
  readonly settling: Extract<Settling, { by: 'time' }>;
  readonly office: Office;
  readonly now: SettlingNow;
  readonly why: string;
}

type Outcome = 'done' | 'not-finished';

export function PutRightTimes({ item, settling, office, now, why }: Props) {
  const { spell, asks, offers } = settling;
  const work = workShown(spell, office);
  const give = (chosen: TimesChosen) =>
    void now.settle(giveTime(item, settling, chosen, office, why), said(work, chosen, office));
  if (asks === 'both') return <BothEnds settling={settling} office={office} busy={now.busy} onGive={give} />;
  const own = item.spell?.id === spell.id;
  const end = (to: Instant | null, outcome: Outcome | null) => give({ from: null, to, outcome });
  const open = spell.outcome === 'open';
  return (
    <fieldset class="put-right-times">
      <legend>{own ? putRightWords.ended : putRightWords.endedOf(work)}</legend>
      {offers.length === 0 && <p>{putRightWords.noOffer}</p>}
      {offers.map(({ at, is }) => (
        <div class="put-right-offer" key={at}>
          <p>
            <b>{instantShown(at, office.book.timeZone)}</b> {putRightWords.offer(is)}
          </p>
          <Ends open={open} busy={now.busy} onEnd={(outcome) => end(at, outcome)} />
        </div>
      ))}
      <TypedEnd settling={settling} office={office} busy={now.busy} onEnd={end} />
      {open && (
        <div class="put-right-offer">
          <p>
            <b>{putRightWords.nobodyKnows}</b>
          </p>
          <Ends open busy={now.busy} onEnd={(outcome) => end(null, outcome)} />
        </div>
      )}
    </fieldset>
  );
}

function said(work: string, { from, to, outcome }: TimesChosen, { book }: Office): string {
  const at = (instant: Instant) => instantShown(instant, book.timeZone);
  const parts = [
    work,
    ...(from === null ? [] : [`${putRightWords.began.toLowerCase()} ${at(from)}`]),
    to === null ? putRightWords.nobodyKnows.toLowerCase() : at(to),
    ...(outcome === null
      ? []
      : [(outcome === 'done' ? putRightWords.done : putRightWords.notFinished).toLowerCase()]),
  ];
  return parts.join(', ');
}

interface EndsProps {
  readonly open: boolean;
  readonly busy: boolean;
  readonly onEnd: (outcome: Outcome | null) => void;
}

/** Of open work it is also asked how it ended; of ended work that is known. */
function Ends({ open, busy, onEnd }: EndsProps) {
  const button = (outcome: Outcome | null, says: string) => (
    <button type="button" aria-disabled={busy} onClick={() => onEnd(outcome)}>
      {says}
    </button>
  );
  return (
    <div class="put-right-ends">
      {open ? (
        <>
          {button('done', putRightWords.done)}
          {button('not-finished', putRightWords.notFinished)}
        </>
      ) : (
        button(null, putRightWords.endedThen)
      )}
    </div>
  );
}

interface TypedProps {
  readonly settling: Props['settling'];
  readonly office: Office;
  readonly busy: boolean;
}

function TypedEnd({
  settling: { spell },
  office,
  busy,
  onEnd,
}: TypedProps & { readonly onEnd: (to: Instant, outcome: Outcome | null) => void }) {
  const typed = useTypedTime(putRightWords.another, spell.from, office.book.timeZone, false);
  const end = (outcome: Outcome | null) => {
    const at = typed.read();
    if (at !== null) onEnd(at, outcome);
  };
  return (
    <div class="put-right-offer">
      {typed.field}
      <Ends open={spell.outcome === 'open'} busy={busy} onEnd={end} />
    </div>
  );
}

function BothEnds({
  settling: { spell },
  office,
  busy,
  onGive,
}: TypedProps & { readonly onGive: (chosen: TimesChosen) => void }) {
  const { timeZone } = office.book;
  const from = useTypedTime(putRightWords.began, spell.from, timeZone, true);
  const to = useTypedTime(putRightWords.endedAt, spell.to ?? spell.from, timeZone, true);
  const give = () => {
    const chosen = { from: from.read(), to: to.read(), outcome: null };
    if (chosen.from !== null && chosen.to !== null) onGive(chosen);
  };
  return (
    <fieldset class="put-right-times">
      <legend>{putRightWords.bothEnds}</legend>
      {from.field}
      {to.field}
      <button type="button" aria-disabled={busy} onClick={give}>
        {putRightWords.give}
      </button>
    </fieldset>
  );
}
