/**
 * The shift sheet: first a sentence, then one table, then what must be put right, then the pictures. What needs no server,
 * the list of things to put right, is there without one.
 */
import '../shift.css';
import { useEffect, useState } from 'preact/hooks';
import { shiftsAnswerSchema } from '../../wire/sheet.ts';
import { deskTroubles, stopped } from '../../words/desk.ts';
import { shiftWords } from '../../words/shift.ts';
import { shiftAtAddress } from '../address.ts';
import type { Office } from '../office.ts';
import { PutRight } from '../parts/put-right.tsx';
import { BeforeYouGo } from '../shift/before-you-go.tsx';
import { ShiftChoice, ShiftHead } from '../shift/shift-head.tsx';
import type { Ways } from '../shift/shift-parts.ts';
import { ShiftSheet } from '../shift/shift-sheet.tsx';
import { useAsked } from '../shift/use-asked.ts';
import { useSent } from '../shift/use-sent.ts';
import { OVER_MS, useShift } from '../shift/use-shift.ts';

interface Props {
  readonly office: Office;
  readonly ways: Ways;
}

export function ShiftPage({ office, ways }: Props) {
  const { book } = office;
  const zone = book.timeZone;
  const asked = useShiftInAddress();
  const sent = useSent(office);
  const shifts = useAsked(ways, '/api/shifts', shiftsAnswerSchema, OVER_MS);
  const newest = shifts.value?.shifts[0]?.from ?? null;
  const from = asked ?? newest;
  const shift = useShift(ways, from, from === newest, sent);
  const { value, preparing } = shift.sheet;
  const trouble = shift.sheet.trouble ?? shifts.trouble;

  return (
    <main class="desk shift">
      {value !== null && <ShiftHead sheet={value} site={book.name} zone={zone} />}
      <ShiftChoice shifts={shifts.value?.shifts ?? []} chosen={from} zone={zone} />
      <div role="status" aria-atomic="true">
        {trouble !== null && (
          <p class="desk-trouble">
            <b>{stopped(deskTroubles[trouble].says)}</b> {stopped(deskTroubles[trouble].next)}
          </p>
        )}
        {value === null && trouble === null && (
          <Waiting preparing={preparing} none={shifts.value?.shifts.length === 0} />
        )}
      </div>
      {value === null ? (
        <PutRight office={office} />
      ) : (
        <ShiftSheet
          key={value.shift.from}
          office={office}
          ways={ways}
          sheet={value}
          shift={shift}
          newest={from === newest}
        >
          {from === newest && <BeforeYouGo office={office} shift={value.shift} />}
        </ShiftSheet>
      )}
    </main>
  );
}

interface WaitingProps {
  readonly preparing: { readonly done: number; readonly of: number } | null;
  readonly none: boolean;
}

function Waiting({ preparing, none }: WaitingProps) {
  if (none) return <p class="desk-sentence">{shiftWords.noShift}</p>;
  if (preparing === null) return <p class="desk-sentence">{shiftWords.asking}</p>;
  return (
    <p class="desk-sentence">
      {shiftWords.preparing(preparing.done, preparing.of)}{' '}
      <progress value={preparing.done} max={Math.max(1, preparing.of)} aria-label={shiftWords.asking} />
    </p>
  );
}

/** The shift in the address, so that going back, a bookmark and a new load lead to it. */
function useShiftInAddress(): number | null {
  const [from, setFrom] = useState(() => shiftAtAddress(location.pathname));
  useEffect(() => {
    const moved = () => setFrom(shiftAtAddress(location.pathname));
    window.addEventListener('popstate', moved);
    return () => window.removeEventListener('popstate', moved);
  }, []);
  return from;
}
