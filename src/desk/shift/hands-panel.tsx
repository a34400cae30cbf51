/**
 * Who worked how long: for the holder of a badge, who is asked for it each time. A supervisor sees all, anybody else their
 * own; by name, never by speed.
 */
import { useState } from 'preact/hooks';
import { type HandsAnswer, handsAnswerSchema, type SheetAnswer } from '../../wire/sheet.ts';
import { pairs, shiftWords, work } from '../../words/shift.ts';
import { useOwnId } from '../parts/use-own-id.ts';
import { FigureNumber } from './number.tsx';
import type { Open, Ways } from './shift-parts.ts';

interface Props {
  readonly ways: Ways;
  readonly sheet: SheetAnswer;
  readonly onOpen: Open;
}

export function HandsPanel({ ways, sheet, onOpen }: Props) {
  const id = useOwnId();
  const [badge, setBadge] = useState('');
  /** The badge that what is shown was asked for with; kept no longer than it is shown. */
  const [shownFor, setShownFor] = useState('');
  const [answer, setAnswer] = useState<HandsAnswer | null>(null);
  const [failed, setFailed] = useState(false);
  const [busy, setBusy] = useState(false);
  const ask = async (event: Event) => {
    event.preventDefault();
    const body = { shift: sheet.shift.from, badge };
    setBadge('');
    setShownFor(badge);
    setBusy(true);
    const { api, setUp } = ways;
    const got = await api.ask(
      setUp,
      '/api/sheet/hands',
      handsAnswerSchema,
      new AbortController().signal,
      body,
    );
    setBusy(false);
    setFailed(!got.ok);
    setAnswer(got.ok ? got.value : null);
  };
  const hide = () => {
    setAnswer(null);
    setShownFor('');
  };
  return (
    <section class="shift-hands" aria-labelledby={`${id}-title`}>
      <h2 id={`${id}-title`}>{shiftWords.hands}</h2>
      {sheet.personal === 'off' && <p>{shiftWords.handsOff}</p>}
      {sheet.personal === 'lapsed' && <p>{shiftWords.handsLapsed}</p>}
      {sheet.personal === 'asked-for' && (
        <>
          <p class="desk-calm">{shiftWords.handsHint}</p>
          {answer?.is === 'hands' ? (
            <>
              {!answer.holder.all && <p>{shiftWords.ownOnly(answer.holder.name ?? answer.holder.hand)}</p>}
              <HandsTable hands={answer.hands} onOpen={(opened) => onOpen({ ...opened, badge: shownFor })} />
              <button type="button" onClick={hide}>
                {shiftWords.hide}
              </button>
            </>
          ) : (
            <form onSubmit={ask}>
              <label for={id}>{shiftWords.badge}</label>
              <input
                id={id}
                type="password"
                value={badge}
                onInput={(event) => setBadge(event.currentTarget.value)}
                maxLength={64}
                autocomplete="off"
              />
              <button type="submit" disabled={badge.trim() === '' || busy}>
                {shiftWords.show}
              </button>
              <p class="field-says" role="status">
                {busy && shiftWords.askingHands}
                {!busy && answer !== null && shiftWords.noHands[answer.is]}
                {!busy && failed && shiftWords.behind.failed}
              </p>
            </form>
          )}
        </>
      )}
    </section>
  );
}

type Hands = Extract<HandsAnswer, { is: 'hands' }>['hands'];

function HandsTable({ hands, onOpen }: { readonly hands: Hands; readonly onOpen: Open }) {
  if (hands.length === 0) return <p>{shiftWords.nobody}</p>;
  return (
    <table>
      <thead>
        <tr>
          <th scope="col">{shiftWords.hand}</th>
          <th scope="col" class="desk-number">
            {shiftWords.onTime}
          </th>
          <th scope="col" class="desk-number shift-touch">
            {shiftWords.touchTime}
          </th>
          <th scope="col">{shiftWords.handStages}</th>
        </tr>
      </thead>
      <tbody>
        {hands.map(({ hand, name, onMs, touchMs, stages }) => (
          <tr key={hand}>
            <th scope="row">
              <bdi>{name ?? hand}</bdi>
            </th>
            <td class="desk-number">{work(onMs)}</td>
            <td class="desk-number">
              <FigureNumber
                figure="hand-touch"
                of={hand}
                name={name}
                value={touchMs}
                shown={work(touchMs)}
                onOpen={onOpen}
              />
            </td>
            <td>{stages.map(({ name: stage, out }) => `${stage} ${pairs(out)}`).join(', ')}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
