/** The ways to settle one item, each a button that records it. */
import { useState } from 'preact/hooks';
import type { PutRightItem } from '../../domain/put-right.ts';
import type { Settling } from '../../domain/put-right-settlings.ts';
import { putRightWords, stagesShown, workShown } from '../../words/put-right.ts';
import { addressToLog } from '../logging/ticket-in-hand.ts';
import type { Office } from '../office.ts';
import { mayPutRight, settle } from '../put-right-acts.ts';
import { addressOfPair } from '../whereabouts-address.ts';
import { DeskLink } from './desk-link.tsx';
import type { SettlingNow } from './put-right-made.tsx';
import { PutRightTimes } from './put-right-times.tsx';

interface Props {
  readonly id: string;
  readonly item: PutRightItem;
  readonly office: Office;
  readonly settling: SettlingNow;
}

export function PutRightPanel({ id, item, office, settling }: Props) {
  const [why, setWhy] = useState('');
  const may = mayPutRight(office.at, office.book);
  const ways = may ? item.settlings : item.settlings.filter(({ by }) => by === 'log');
  return (
    <div class="put-right-panel" id={id}>
      {ways.map((way) => (
        <Way key={keyOf(way)} way={way} item={item} office={office} settling={settling} why={why} />
      ))}
      {may && (
        <label class="put-right-why">
          {putRightWords.why}
          <input
            type="text"
            maxLength={200}
            value={why}
            onInput={({ currentTarget }) => setWhy(currentTarget.value)}
          />
        </label>
      )}
      {item.pair !== null && <DeskLink href={addressOfPair(item.pair)}>{putRightWords.about}</DeskLink>}
    </div>
  );
}

function keyOf(way: Settling): string {
  if (way.by === 'take-back') return `${way.by} ${way.of.join(' ')}`;
  return way.by === 'time' ? `${way.by} ${way.spell.id}` : way.by;
}

interface WayProps extends Omit<Props, 'id'> {
  readonly way: Settling;
  readonly why: string;
}

function Way({ way, item, office, settling, why }: WayProps) {
  const record = (as: Exclude<Settling, { by: 'time' }>, what: string) =>
    void settling.settle(settle(item, as, why), what);
  switch (way.by) {
    case 'time':
      return <PutRightTimes item={item} settling={way} office={office} now={settling} why={why} />;
    case 'log':
      return (
        <p class="put-right-log">
          <DeskLink href={addressToLog(way.pair)}>{putRightWords.log}</DeskLink>
        </p>
      );
    case 'take-back':
      return (
        <TakeBack says={backShown(way, office)} busy={settling.busy} onSure={(what) => record(way, what)} />
      );
    default: {
      const says = wayShown(way, office);
      return (
        <button type="button" aria-disabled={settling.busy} onClick={() => record(way, says)}>
          {says}
        </button>
      );
    }
  }
}

function wayShown(
  way: Extract<Settling, { by: 'stands' | 'done-unscanned' | 'not-needed' }>,
  office: Office,
): string {
  switch (way.by) {
    case 'stands':
      return putRightWords.stands;
    case 'done-unscanned':
      return putRightWords.wasDone(stagesShown(way.stages, office));
    case 'not-needed':
      return putRightWords.notNeeded(stagesShown(way.stages, office));
  }
}

function backShown({ spell }: Extract<Settling, { by: 'take-back' }>, office: Office): string {
  return spell === null ? putRightWords.backRecord : putRightWords.backWork(workShown(spell, office));
}

interface TakeBackProps {
  readonly says: string;
  readonly busy: boolean;
  readonly onSure: (says: string) => void;
}

/** A taking back cannot be taken back, so it takes one tap more. */
function TakeBack({ says, busy, onSure }: TakeBackProps) {
  const [asked, setAsked] = useState(false);
  if (!asked)
    return (
      <button type="button" onClick={() => setAsked(true)}>
        {says}
      </button>
    );
  return (
    <fieldset class="put-right-sure">
      <legend>{says}</legend>
      <p>{putRightWords.backSure}</p>
      <button type="button" aria-disabled={busy} onClick={() => onSure(says)}>
        {putRightWords.backNow}
      </button>
      <button type="button" onClick={() => setAsked(false)}>
        {putRightWords.keep}
      </button>
    </fieldset>
  );
}
