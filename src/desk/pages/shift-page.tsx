/**
 * The shift sheet: first a sentence, then one table, then what must be put right, then the pictures. What needs no server,
 * the list of things to put right, is there without one.
 */
import '../shift.css';
import { useEffect, useState } from 'preact/hooks';
import {
  forecastAnswerSchema,
  lookBackAnswerSchema,
  type SheetAnswer,
  sheetAnswerSchema,
  shiftsAnswerSchema,
} from '../../wire/sheet.ts';
import { deskTroubles, stopped } from '../../words/desk.ts';
import { weekdayName } from '../../words/format.ts';
import { shiftWords } from '../../words/shift.ts';
import { shiftAtAddress } from '../address.ts';
import type { Office } from '../office.ts';
import { AtRisk } from '../shift/at-risk.tsx';
import { Behind } from '../shift/behind.tsx';
import { HandsPanel } from '../shift/hands-panel.tsx';
import { HourChart, usualBy } from '../shift/hour-chart.tsx';
import { LineFacts } from '../shift/line-facts.tsx';
import { Ordinary } from '../shift/ordinary.tsx';
import { ShiftChoice, ShiftHead } from '../shift/shift-head.tsx';
import type { Opened, Ways } from '../shift/shift-parts.ts';
import { ShiftSentence } from '../shift/shift-sentence.tsx';
import { StageFiguresTable } from '../shift/stage-figures-table.tsx';
import { Strips } from '../shift/strips.tsx';
import { TakeAway } from '../shift/take-away.tsx';
import { useAsked } from '../shift/use-asked.ts';

/** A running shift is asked for anew so often; one that is over changes only by what comes in late. */
const RUNNING_MS = 30_000;
const OVER_MS = 120_000;

interface Props {
  readonly office: Office;
  readonly ways: Ways;
}

export function ShiftPage({ office, ways }: Props) {
  const { book } = office;
  const zone = book.timeZone;
  const asked = useShiftInAddress();
  const shifts = useAsked(ways, '/api/shifts', shiftsAnswerSchema, OVER_MS);
  const from = asked ?? shifts.value?.shifts[0]?.from ?? null;
  const running = from !== null && shifts.value?.shifts[0]?.from === from;
  const again = running ? RUNNING_MS : OVER_MS;
  const path = from === null ? null : `/api/sheet?shift=${from}`;
  const sheet = useAsked(ways, path, sheetAnswerSchema, again);
  // Only once the sheet is there: both wait for the same facts, and the sheet is what was asked for.
  const ready = sheet.value !== null;
  const lookBack = useAsked(
    ways,
    ready ? `/api/sheet/look-back?shift=${from}` : null,
    lookBackAnswerSchema,
    again,
  );
  const forecast = useAsked(ways, ready ? '/api/forecast' : null, forecastAnswerSchema, OVER_MS);
  const [opened, open] = useState<Opened | null>(null);
  const value: SheetAnswer | null = sheet.value;
  const trouble = sheet.trouble ?? shifts.trouble;
  const reading = { zone, at: value?.at ?? office.now };
  const usual = value === null || lookBack.value === null ? null : usualBy(lookBack.value.hours, value.at);

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
          <Waiting preparing={sheet.preparing} none={shifts.value?.shifts.length === 0} />
        )}
      </div>
      {value !== null && (
        <>
          <ShiftSentence sheet={value} usual={usual} zone={zone} />
          <div class="shift-columns">
            <div>
              <StageFiguresTable sheet={value} lookBack={lookBack.value} onOpen={open} reading={reading} />
              <p class="desk-foot">{shiftWords.foot}</p>
              {value.amended > 0 && <p class="desk-foot">{shiftWords.amended(value.amended)}</p>}
            </div>
            <div class="shift-aside">
              <AtRisk
                asked={forecast}
                stageName={(stage) => value.stages.find((one) => one.stage === stage)?.name ?? stage}
              />
              {lookBack.value !== null && (
                <HourChart
                  hours={lookBack.value.hours}
                  shift={value.shift}
                  at={value.at}
                  zone={zone}
                  weekday={weekdayName(value.shift.day)}
                />
              )}
              <LineFacts sheet={value} onOpen={open} />
            </div>
          </div>
          {lookBack.value !== null && (
            <>
              <Ordinary lookBack={lookBack.value} sheet={value} zone={zone} />
              <Strips strips={lookBack.value.strips} shift={value.shift} at={value.at} zone={zone} />
            </>
          )}
          <div class="shift-two shift-no-print">
            <HandsPanel key={value.shift.from} ways={ways} sheet={value} onOpen={open} />
            <TakeAway
              setUp={ways.setUp}
              from={value.shift.day}
              to={value.shift.day}
              shift={value.shift.from}
            />
          </div>
        </>
      )}
      {opened !== null && from !== null && (
        <Behind
          key={`${opened.figure} ${opened.of}`}
          ways={ways}
          shift={from}
          opened={opened}
          book={book}
          reading={reading}
          onClose={() => open(null)}
        />
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
      <progress value={preparing.done} max={Math.max(1, preparing.of)} />
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
