/** The site's shifts with their breaks, its shut days and overtime, and what is shown about single persons. */
import type { OperativeId } from '../../domain/ids.ts';
import { calendarWords as words } from '../../words/site-calendar.ts';
import { type CalendarWays, useCalendarDrafting } from './site-calendar-drafting.ts';
import { OvertimeLines, ShutLines } from './site-days.tsx';
import type { SiteDrafting } from './site-drafting.ts';
import { PersonalPart } from './site-personal.tsx';
import { ShiftRules } from './site-shift-rules.tsx';

interface Props {
  readonly drafting: SiteDrafting;
  readonly at: OperativeId | null;
  readonly ways: CalendarWays;
}

export function ShiftsTab({ drafting, at, ways }: Props) {
  const calendar = useCalendarDrafting(ways);
  const { draft, faults, changed, saving, said } = calendar;
  const may = drafting.canChange && !saving;
  const faultsIn = (where: (typeof faults)[number]['in'], line: number) =>
    faults.filter((one) => one.in === where && one.line === line).map(({ fault }) => fault);
  return (
    <div class="site-calendar">
      {draft === null && <p role="status">{said ?? words.asking}</p>}
      {draft !== null && (
        <>
          <ShiftRules
            rules={draft.rules}
            may={may}
            faultsOf={(line) => (changed ? faultsIn('rules', line) : [])}
            onRules={(rules) => calendar.change({ rules })}
          />
          <ShutLines
            shut={draft.shut}
            may={may}
            faultsOf={(line) => (changed ? faultsIn('shut', line) : [])}
            onShut={(shut) => calendar.change({ shut })}
          />
          <OvertimeLines
            overtime={draft.overtime}
            may={may}
            faultsOf={(line) => (changed ? faultsIn('overtime', line) : [])}
            onOvertime={(overtime) => calendar.change({ overtime })}
          />
          <div class="site-calendar-save">
            <p role="status">{saving ? words.saving : (said ?? (changed ? words.unsaved : ''))}</p>
            {changed && (
              <div class="site-buttons">
                <button type="button" disabled={saving} onClick={calendar.drop}>
                  {words.dropAll}
                </button>
                <button
                  type="button"
                  class="site-main"
                  disabled={!may || faults.length > 0}
                  onClick={() => {
                    if (at !== null) void calendar.save(at);
                  }}
                >
                  {words.save}
                </button>
              </div>
            )}
          </div>
        </>
      )}
      <PersonalPart drafting={drafting} />
    </div>
  );
}
