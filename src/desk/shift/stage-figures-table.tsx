/** One row for each stage that had anything: in, out, sent back, first pass, work, what waits. Every number opens. */
import type { StageCode } from '../../domain/ids.ts';
import type { LookBackAnswer, SheetAnswer, StageLine } from '../../wire/sheet.ts';
import { pairs, percent, shiftWords, spread } from '../../words/shift.ts';
import { FigureNumber } from './number.tsx';
import type { Open, Reading } from './shift-parts.ts';
import { Spark } from './spark.tsx';

const { columns } = shiftWords;

interface Props {
  readonly sheet: SheetAnswer;
  readonly lookBack: LookBackAnswer | null;
  readonly onOpen: Open;
  /** Shows a stage's days and its queue. */
  readonly onStage: (stage: StageCode) => void;
  readonly reading: Reading;
}

export function StageFiguresTable({ sheet, lookBack, onOpen, onStage, reading }: Props) {
  const busy = sheet.stages.filter((line) => !isQuiet(line));
  const quiet = sheet.stages.filter(isQuiet);
  const most = Math.max(1, ...busy.map(({ waiting }) => waiting));
  const held = sheet.line.holdsBack?.stage;
  return (
    <section class="shift-stages" aria-labelledby="shift-stages">
      <h2 id="shift-stages" class="desk-heard-only">
        {shiftWords.stages}
      </h2>
      <table>
        <thead>
          <tr>
            <th scope="col">{columns.stage}</th>
            <th scope="col" class="desk-number">
              {columns.in}
            </th>
            <th scope="col" class="desk-number">
              {columns.out}
            </th>
            <th scope="col" class="desk-number">
              {columns.sentBack}
            </th>
            <th scope="col" class="desk-number">
              {columns.firstPass}
            </th>
            <th scope="col" class="desk-number">
              {columns.touch} <span class="shift-light">{columns.ninth}</span>
            </th>
            <th scope="col" colSpan={2}>
              {sheet.at < sheet.shift.to ? columns.waiting : columns.waited}
            </th>
            <th scope="col" class="desk-number">
              {columns.oldest}
            </th>
            <th scope="col" class="shift-spark-head">
              {columns.shifts}
            </th>
          </tr>
        </thead>
        <tbody>
          {busy.map((line) => (
            <StageRow
              key={line.stage}
              line={line}
              most={most}
              held={line.stage === held}
              outs={lookBack?.stages.find(({ stage }) => stage === line.stage)?.shifts.map(({ out }) => out)}
              onOpen={onOpen}
              onStage={lookBack?.stages.some(({ stage }) => stage === line.stage) ? onStage : null}
              reading={reading}
            />
          ))}
          {quiet.length > 0 && (
            <tr class="desk-quiet">
              <td colSpan={10}>
                {shiftWords.nothingAt} {quiet.map(({ name }) => name).join(', ')}
              </td>
            </tr>
          )}
        </tbody>
      </table>
    </section>
  );
}

interface RowProps {
  readonly line: StageLine;
  readonly most: number;
  readonly held: boolean;
  readonly outs: readonly number[] | undefined;
  readonly onOpen: Open;
  /** Null where there is nothing to show. */
  readonly onStage: Props['onStage'] | null;
  readonly reading: Reading;
}

function StageRow({ line, most, held, outs, onOpen, onStage, reading }: RowProps) {
  const { stage, name, touch, firstPass, out, oldest } = line;
  const of = { of: stage, name, onOpen };
  return (
    <tr class={held ? 'shift-held' : undefined}>
      <th scope="row" class="desk-stage">
        {onStage === null ? (
          name
        ) : (
          <button
            type="button"
            class="shift-stage"
            aria-label={shiftWords.showBelow(name)}
            onClick={() => onStage(stage)}
          >
            {name}
          </button>
        )}
        {held && <span class="shift-held-words">{shiftWords.heldHere}</span>}
      </th>
      <td class="desk-number">
        <FigureNumber figure="in" value={line.in} {...of} />
      </td>
      <td class="desk-number desk-main-number">
        <FigureNumber figure="out" value={out} {...of} />
      </td>
      <td class="desk-number">
        <FigureNumber figure="sent-back-to" value={line.sentBackTo} {...of} />
      </td>
      <td class="desk-number">
        {out > 0 && <FigureNumber figure="first-pass" value={out} shown={percent(firstPass / out)} {...of} />}
      </td>
      <td class="desk-number shift-touch">
        {touch.median !== null && (
          <FigureNumber
            figure="touch"
            value={touch.count}
            shown={spread(touch.median, touch.ninth)}
            {...of}
          />
        )}
      </td>
      <td class="shift-waiting-bar">
        <svg viewBox="0 0 100 12" preserveAspectRatio="none" aria-hidden="true" focusable="false">
          <rect x="0" y="1" width={(100 * line.waiting) / most} height="10" />
        </svg>
      </td>
      <td class="desk-number shift-waiting">
        <FigureNumber figure="waiting" value={line.waiting} {...of} />
      </td>
      <td class="desk-number">{oldest === null ? '' : age(reading.at - oldest.since)}</td>
      <td class="shift-spark-cell">
        {outs !== undefined && <Spark values={outs} label={outs.map(pairs).join(', ')} />}
      </td>
    </tr>
  );
}

function age(ms: number): string {
  return shiftWords.length(ms);
}

/** Nothing in, out, sent back or waiting. */
function isQuiet(line: StageLine): boolean {
  const { sentBackFrom, sentBackTo, waiting, endUnknown, out } = line;
  return line.in + out + sentBackFrom + sentBackTo + waiting + endUnknown === 0;
}
