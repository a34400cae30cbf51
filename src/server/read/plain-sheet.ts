/**
 * A shift and its sheet in plain fields. What single hands did is not in it: who may see that is for the desk to ask of the
 * person there.
 */
import type { ShiftSpan } from '../../domain/calendar/calendar.ts';
import { firstPassYield, minutes, share } from '../../domain/export/sheet-table.ts';
import { inUtc, type SiteTime } from '../../domain/export/times.ts';
import type { ExportView } from '../../domain/export/view.ts';
import { type Member, total } from '../../domain/figures/member.ts';
import type { LineFigures, ShiftSheet, Spread, StageFigures } from '../../domain/figures/sheet.ts';
import type { ReadSheetAnswer, ReadShift } from '../../wire/read.ts';

export function plainShift(
  { name, day, from, to, breaks, overtime }: ShiftSpan,
  siteTime: SiteTime,
): ReadShift {
  return {
    name,
    day,
    from: inUtc(from),
    to: inUtc(to),
    fromSite: siteTime(from),
    toSite: siteTime(to),
    breaks: breaks.map((pause) => ({ from: inUtc(pause.from), to: inUtc(pause.to) })),
    overtime,
  };
}

export function plainSheet({ shift, at, stages, line }: ShiftSheet, view: ExportView): ReadSheetAnswer {
  return {
    shift: plainShift(shift, view.siteTime),
    at: inUtc(at),
    stages: stages.map((stage) => plainStage(stage, view)),
    line: plainLine(line),
  };
}

function plainStage(figures: StageFigures, view: ExportView): ReadSheetAnswer['stages'][number] {
  const { stage, oldest } = figures;
  return {
    stage,
    stageName: view.stageName(stage),
    in: figure(figures.in),
    out: figure(figures.out),
    sentBackFrom: figure(figures.sentBackFrom),
    sentBackTo: figure(figures.sentBackTo),
    firstPassYield: firstPassYield(figures),
    touch: spread(figures.touch),
    wait: spread(figures.wait),
    waiting: figure(figures.waiting),
    working: figure(figures.working),
    oldest: oldest && { pair: oldest.pair, since: inUtc(oldest.since) },
    endUnknown: figure(figures.endUnknown),
    utilisation: share(figures.utilisation),
  };
}

function plainLine({
  inWork,
  boxed,
  handedBack,
  rolledYield,
  little,
  holdsBack,
}: LineFigures): ReadSheetAnswer['line'] {
  return {
    inWork: figure(inWork),
    boxed: figure(boxed),
    handedBack: figure(handedBack),
    rolledYield: share(rolledYield),
    little: {
      from: inUtc(little.from),
      to: inUtc(little.to),
      inWork: little.inWork,
      perDay: little.perDay,
      leadDays: little.leadDays,
      closes: little.closes,
    },
    holdsBack: holdsBack && {
      stage: holdsBack.stage,
      waiting: holdsBack.waiting,
      oldest: inUtc(holdsBack.oldest),
      queueMinutes: minutes(holdsBack.queueMs),
      utilisation: share(holdsBack.utilisation),
    },
  };
}

/** With what it counts, so that nobody outside has to take a number on trust. */
function figure(members: readonly Member[]) {
  const of = members.map(({ pair, share: counts, records }) => ({
    pair,
    share: counts,
    records: [...records],
  }));
  return { pairs: total(members), of };
}

function spread({ median, ninth, members }: Spread) {
  return { medianMinutes: minutes(median), ninthDecileMinutes: minutes(ninth), count: members.length };
}
