/** The line as a whole, with Little's law as a check of the data. */
import type { SheetAnswer } from '../../wire/sheet.ts';
import { percent, shiftWords } from '../../words/shift.ts';
import { FigureNumber } from './number.tsx';
import type { Open } from './shift-parts.ts';

export function LineFacts({
  sheet: { line },
  onOpen,
}: {
  readonly sheet: SheetAnswer;
  readonly onOpen: Open;
}) {
  const { little, rolledYield, inWork } = line;
  return (
    <section class="shift-line-facts" aria-labelledby="shift-line">
      <h2 id="shift-line">{shiftWords.line}</h2>
      <dl>
        <div>
          <dt>{shiftWords.inWork}</dt>
          <dd>
            <FigureNumber figure="in-work" of="" name={null} value={inWork} onOpen={onOpen} />
          </dd>
        </div>
        {rolledYield !== null && (
          <div>
            <dt>
              {shiftWords.rolled} <span class="desk-calm">{shiftWords.rolledHint}</span>
            </dt>
            <dd>{percent(rolledYield)}</dd>
          </div>
        )}
        {little.leadDays !== null && (
          <div>
            <dt>{shiftWords.lead}</dt>
            <dd>{shiftWords.leadDays(little.leadDays)}</dd>
          </div>
        )}
        {little.closes !== null && (
          <div>
            <dt>
              {shiftWords.little}{' '}
              <span class="desk-calm">{shiftWords.littleHint(little.perDay, little.inWork)}</span>
            </dt>
            <dd>{percent(little.closes)}</dd>
          </div>
        )}
      </dl>
    </section>
  );
}
