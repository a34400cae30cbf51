/** What one stage put through in a shift, and how it stood. */
import type { Span } from '../calendar/calendar.ts';
import type { OperativeId, StageCode } from '../ids.ts';
import type { Instant } from '../instant.ts';
import { SIDES } from '../record/kinds.ts';
import type { AtStage, Of } from './at-stage.ts';
import type { Presence } from './attendance.ts';
import type { SentBackFacts, SpellFacts, WaitFacts } from './facts.ts';
import { eachPairOnce, type Member, type OnShoe, shareOf, sidesOf, total, totalMs } from './member.ts';
import { isBegunIn, isEndedIn, isEndUnknown, isFinishedIn, isInWork, type Moment, spanOf } from './moment.ts';
import type { OffTime } from './off-time.ts';
import { onTimeOf } from './on-time.ts';
import { spreadOf } from './percentile.ts';
import type { StageFigures } from './sheet.ts';
import { holds } from './spans.ts';
import { recordsOf, type Touch, touchMembers } from './touch.ts';

export interface StageInput {
  readonly stage: StageCode;
  readonly there: AtStage;
  /** At this stage, all of it up to the moment. */
  readonly touched: readonly Touch[];
  /** At this stage, within the shift. */
  readonly touchedInShift: readonly Touch[];
  /** At the stage's benches, within the shift. */
  readonly on: readonly Presence[];
}

export function stageFigures(input: StageInput, moment: Moment, off: OffTime): StageFigures {
  const { stage, there, on } = input;
  const { spells, waits } = there;
  const { at } = moment;
  const span = spanOf(moment);
  const finished = spells.filter(({ fact }) => isFinishedIn(fact, span));
  const waiting = waits.filter(({ fact }) => holds(fact, at)).sort((a, b) => a.fact.from - b.fact.from);
  const [oldest] = waiting;
  return {
    stage,
    in: eachPairOnce(spells.filter(({ fact }) => isBegunIn(fact, span)).map(begun)),
    out: eachPairOnce(finished.map(ended)),
    sentBackFrom: there.sentBackFrom.filter(({ fact }) => holds(span, fact.at)).map(sending),
    sentBackTo: there.sentBackTo.filter(({ fact }) => holds(span, fact.at)).map(sending),
    firstPass: firstPass(finished),
    touch: spreadOf(touchMembers(input.touched.filter(({ spell }) => isEndedIn(spell, span)))),
    wait: spreadOf(waits.flatMap((wait) => servedIn(wait, span))),
    waiting: waiting.map((wait) => stillWaiting(wait, at)),
    working: eachPairOnce(spells.filter(({ fact }) => isInWork(fact, moment)).map(begun)),
    oldest: oldest === undefined ? null : { pair: oldest.facts.pair, since: oldest.fact.from },
    endUnknown: eachPairOnce(spells.filter(({ fact }) => isEndUnknown(fact, moment)).map(whole)),
    worked: touchMembers(input.touchedInShift),
    on,
    utilisation: utilisation(input, span, off),
    workEach: workEach(input, at),
  };
}

function workEach({ there: { spells }, touched }: StageInput, at: Instant): number | null {
  const done = spells.filter(({ fact: { outcome, to } }) => outcome === 'done' && to !== null && to < at);
  const pairs = total(eachPairOnce(done.map(ended)));
  return pairs > 0 ? totalMs(touchMembers(touched)) / pairs : null;
}

function begun({ facts, fact }: Of<SpellFacts>): OnShoe {
  return { pair: facts.pair, shoe: fact.shoe, records: [fact.id] };
}

function ended({ facts, fact }: Of<SpellFacts>): OnShoe {
  return { pair: facts.pair, shoe: fact.shoe, records: [fact.endedBy ?? fact.id] };
}

function whole({ facts, fact }: Of<SpellFacts>): OnShoe {
  return { pair: facts.pair, shoe: fact.shoe, records: recordsOf(fact) };
}

function sending({ facts, fact }: Of<SentBackFacts>): Member {
  return { pair: facts.pair, share: shareOf(fact.shoe), records: [fact.record], ms: null };
}

/** Of each pair the shoes none of whose finishings in the shift was sent back to this stage. */
function firstPass(finished: readonly Of<SpellFacts>[]): readonly Member[] {
  const good = finished.flatMap((one) =>
    sidesOf(one.fact.shoe).map((side): OnShoe => ({ ...ended(one), shoe: side })),
  );
  const bad = new Set(
    finished.flatMap(({ facts, fact }) =>
      SIDES.filter((side) => wasSentBackTo(facts.sentBack, fact, fact.undone[side]?.record)).map((side) =>
        keyOf(facts.pair, side),
      ),
    ),
  );
  return eachPairOnce(good.filter(({ pair, shoe }) => !bad.has(keyOf(pair, shoe))));
}

/** Sent back to the stage itself; done again only because of another it is as good as before. */
function wasSentBackTo(
  sentBack: readonly SentBackFacts[],
  { stage }: SpellFacts,
  by: string | undefined,
): boolean {
  return by !== undefined && sentBack.some(({ record, to }) => record === by && to === stage);
}

function keyOf(pair: string, shoe: string): string {
  return `${pair} ${shoe}`;
}

function servedIn({ facts, fact }: Of<WaitFacts>, span: Span): readonly Member[] {
  const { served, to, from, shoe, begunBy, endedBy } = fact;
  if (!served || to === null || endedBy === null || !holds(span, to)) return [];
  return [{ pair: facts.pair, share: shareOf(shoe), records: [begunBy, endedBy], ms: to - from }];
}

function stillWaiting({ facts, fact }: Of<WaitFacts>, at: Instant): Member {
  return {
    pair: facts.pair,
    share: shareOf(fact.shoe),
    records: [fact.begunBy],
    ms: at - fact.from,
  };
}

function utilisation({ touchedInShift, on }: StageInput, span: Span, off: OffTime): number | null {
  const hands = new Set<OperativeId>([...touchedInShift, ...on].map(({ hand }) => hand));
  let onMs = 0;
  for (const hand of hands) onMs += onTimeOf(hand, on, touchedInShift, span, off);
  return onMs === 0 ? null : totalMs(touchedInShift) / onMs;
}
