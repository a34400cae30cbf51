/** The sheet once it is there: sentence, table, what is beside it, and the pictures under it. */
import '../shift-beside.css';
import '../shift-charts.css';
import type { ComponentChildren } from 'preact';
import { useRef, useState } from 'preact/hooks';
import type { StageCode } from '../../domain/ids.ts';
import { dayIn } from '../../domain/whereabouts-promise.ts';
import type { SheetAnswer } from '../../wire/sheet.ts';
import { weekdayName } from '../../words/format.ts';
import { shiftWords } from '../../words/shift.ts';
import type { Office } from '../office.ts';
import { AtRisk } from './at-risk.tsx';
import { Behind } from './behind.tsx';
import { HandsPanel } from './hands-panel.tsx';
import { HourChart, usualBy } from './hour-chart.tsx';
import { LineFacts } from './line-facts.tsx';
import { Ordinary } from './ordinary.tsx';
import type { Opened, Ways } from './shift-parts.ts';
import { ShiftSentence } from './shift-sentence.tsx';
import { StageFiguresTable } from './stage-figures-table.tsx';
import { Strips } from './strips.tsx';
import { TakeAway } from './take-away.tsx';
import type { ShiftAsked } from './use-shift.ts';

interface Props {
  readonly office: Office;
  readonly ways: Ways;
  readonly sheet: SheetAnswer;
  readonly shift: ShiftAsked;
  /** It runs, or ended last. */
  readonly newest: boolean;
  /** What is put right, before all else beside the table. */
  readonly children: ComponentChildren;
}

export function ShiftSheet({ office, ways, sheet, shift: asked, newest, children }: Props) {
  const { lookBack, forecast } = asked;
  const { book } = office;
  const zone = book.timeZone;
  const { shift, at } = sheet;
  const [opened, open] = useState<Opened | null>(null);
  const [stage, choose] = useState<StageCode | null>(null);
  const below = useRef<HTMLDivElement>(null);
  const back = lookBack.value;
  const reading = { zone, at };
  const showStage = (chosen: StageCode) => {
    choose(chosen);
    below.current?.scrollIntoView();
    below.current?.focus();
  };
  return (
    <>
      <ShiftSentence sheet={sheet} usual={back === null ? null : usualBy(back.hours, at)} zone={zone} />
      <div class="shift-columns">
        <div>
          <StageFiguresTable
            sheet={sheet}
            lookBack={back}
            onOpen={open}
            onStage={showStage}
            reading={reading}
          />
          <p class="desk-foot">{shiftWords.foot}</p>
          {sheet.amended > 0 && <p class="desk-foot">{shiftWords.amended(sheet.amended)}</p>}
        </div>
        <div class="shift-aside">
          {children}
          {newest && (
            <AtRisk
              asked={forecast}
              today={dayIn(at, zone)}
              stageName={(of) => sheet.stages.find((one) => one.stage === of)?.name ?? of}
            />
          )}
          {back !== null && (
            <HourChart
              hours={back.hours}
              shift={shift}
              at={at}
              zone={zone}
              weekday={weekdayName(shift.day)}
            />
          )}
        </div>
        <LineFacts sheet={sheet} onOpen={open} />
      </div>
      {back === null ? (
        <p class="desk-calm" role="status">
          {lookBack.trouble === null ? shiftWords.lookingBack : shiftWords.noLookBack}
        </p>
      ) : (
        <>
          <div ref={below} tabIndex={-1} class="shift-below">
            <Ordinary lookBack={back} sheet={sheet} zone={zone} chosen={stage} onChoose={choose} />
          </div>
          <Strips strips={back.strips} shift={shift} at={at} zone={zone} />
        </>
      )}
      <div class="shift-two shift-no-print">
        <HandsPanel ways={ways} sheet={sheet} onOpen={open} />
        <TakeAway setUp={ways.setUp} shift={shift} />
      </div>
      {opened !== null && (
        <Behind
          key={`${opened.figure} ${opened.of}`}
          ways={ways}
          shift={shift.from}
          opened={opened}
          book={book}
          reading={reading}
          onClose={() => open(null)}
        />
      )}
    </>
  );
}
