/** The shift sheet's table of stages. */
import { total } from '../figures/member.ts';
import type { StageFigures } from '../figures/sheet.ts';
import { MINUTE_MS } from '../instant.ts';
import type { Column } from './csv.ts';
import { inUtc } from './times.ts';
import type { ExportView } from './view.ts';

export function sheetColumns(view: ExportView): readonly Column<StageFigures>[] {
  const text = (head: string, of: (row: StageFigures) => string | null): Column<StageFigures> => ({
    head,
    is: 'text',
    of,
  });
  const number = (head: string, of: (row: StageFigures) => number | null): Column<StageFigures> => ({
    head,
    is: 'number',
    of,
  });
  return [
    text('Stage', ({ stage }) => stage),
    text('Stage name', ({ stage }) => view.stageName(stage)),
    number('Pairs in', (row) => total(row.in)),
    number('Pairs out', (row) => total(row.out)),
    number('Sent back from here', ({ sentBackFrom }) => total(sentBackFrom)),
    number('Sent back to here', ({ sentBackTo }) => total(sentBackTo)),
    number('First pass yield', firstPassYield),
    number('Touch time, median, minutes', ({ touch }) => minutes(touch.median)),
    number('Touch time, ninth decile, minutes', ({ touch }) => minutes(touch.ninth)),
    number('Wait before, median, minutes', ({ wait }) => minutes(wait.median)),
    number('Wait before, ninth decile, minutes', ({ wait }) => minutes(wait.ninth)),
    number('Pairs waiting', ({ waiting }) => total(waiting)),
    number('Pairs in work', ({ working }) => total(working)),
    text('Waits longest', ({ oldest }) => oldest?.pair ?? null),
    text('Waits since, site time', ({ oldest }) => (oldest === null ? null : view.siteTime(oldest.since))),
    text('Waits since, UTC', ({ oldest }) => (oldest === null ? null : inUtc(oldest.since))),
    number('End unknown', ({ endUnknown }) => total(endUnknown)),
    number('Utilisation', ({ utilisation }) => share(utilisation)),
  ];
}

/** Pairs that were not sent back to the stage since, over those it put out; null where it put none out. */
export function firstPassYield({ out, firstPass }: Pick<StageFigures, 'out' | 'firstPass'>): number | null {
  return out.length === 0 ? null : share(total(firstPass) / total(out));
}

/** To a hundredth of a minute. */
export function minutes(ms: number | null): number | null {
  return ms === null ? null : Math.round((ms / MINUTE_MS) * 100) / 100;
}

/** To four places: 0.9375. */
export function share(of: number | null): number | null {
  return of === null ? null : Math.round(of * 10_000) / 10_000;
}
