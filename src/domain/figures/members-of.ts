/** What stands behind each number of a shift sheet, by the number's name: so every number can be opened. */
import * as z from 'zod/mini';
import type { Member } from './member.ts';
import type { HandFigures, PairFigures, ShiftSheet, StageFigures } from './sheet.ts';

/** Numbers of one stage. */
export const STAGE_FIGURES = [
  'in',
  'out',
  'sent-back-from',
  'sent-back-to',
  'first-pass',
  'touch',
  'wait',
  'waiting',
  'working',
  'end-unknown',
  'utilisation',
] as const;
/** Numbers of one hand. */
export const HAND_FIGURES = ['hand-touch', 'hand-out'] as const;
/** Numbers of one pair. */
export const PAIR_FIGURES = ['pair-lead', 'pair-touch'] as const;
/** Numbers of the line as a whole. */
export const LINE_FIGURES = [
  'in-work',
  'boxed',
  'handed-back',
  'rolled-yield',
  'holds-back',
  'amended',
] as const;
export const FIGURES = [...STAGE_FIGURES, ...HAND_FIGURES, ...PAIR_FIGURES, ...LINE_FIGURES] as const;

export const figureSchema = z.enum(FIGURES);
export type FigureName = z.infer<typeof figureSchema>;
type NameIn<Names extends readonly string[]> = Names[number];

/**
 * The members behind a number.
 * @param of the stage's code, the hand's id or the pair's number; not looked at for a number of the line
 * @returns null where the sheet has no such stage, hand or pair
 */
export function membersOf(
  sheet: ShiftSheet,
  figure: FigureName,
  of: string | null,
): readonly Member[] | null {
  if (isIn(STAGE_FIGURES, figure)) {
    const stage = sheet.stages.find((one) => one.stage === of);
    return stage === undefined ? null : ofStage(stage, figure);
  }
  if (isIn(HAND_FIGURES, figure)) {
    const hand = sheet.hands.find((one) => one.hand === of);
    return hand === undefined ? null : ofHand(hand, figure);
  }
  if (isIn(PAIR_FIGURES, figure)) {
    const pair = sheet.pairs.find((one) => one.pair === of);
    return pair === undefined ? null : ofPair(pair, figure);
  }
  return ofLine(sheet, figure);
}

function isIn<Names extends readonly FigureName[]>(
  names: Names,
  figure: FigureName,
): figure is Names[number] {
  return names.includes(figure);
}

function ofStage(stage: StageFigures, figure: NameIn<typeof STAGE_FIGURES>): readonly Member[] {
  switch (figure) {
    case 'in':
    case 'out':
    case 'waiting':
    case 'working':
      return stage[figure];
    case 'sent-back-from':
      return stage.sentBackFrom;
    case 'sent-back-to':
      return stage.sentBackTo;
    case 'first-pass':
      return stage.firstPass;
    case 'touch':
    case 'wait':
      return stage[figure].members;
    case 'end-unknown':
      return stage.endUnknown;
    case 'utilisation':
      return stage.worked;
  }
}

function ofHand({ touch, stages }: HandFigures, figure: NameIn<typeof HAND_FIGURES>): readonly Member[] {
  return figure === 'hand-touch' ? touch : stages.flatMap(({ out }) => out);
}

function ofPair(
  { pair, leadMs, lead, touch }: PairFigures,
  figure: NameIn<typeof PAIR_FIGURES>,
): readonly Member[] {
  return figure === 'pair-touch' ? touch : [{ pair, share: 1, records: lead, ms: leadMs }];
}

function ofLine(
  { line, stages, amended }: ShiftSheet,
  figure: NameIn<typeof LINE_FIGURES>,
): readonly Member[] {
  switch (figure) {
    case 'in-work':
      return line.inWork;
    case 'boxed':
      return line.boxed;
    case 'handed-back':
      return line.handedBack;
    case 'rolled-yield':
      return stages.flatMap(({ firstPass }) => firstPass);
    case 'holds-back':
      return stages.find(({ stage }) => stage === line.holdsBack?.stage)?.waiting ?? [];
    case 'amended':
      return amended.map(({ pair, record }) => ({ pair, share: 1, records: [record], ms: null }));
  }
}
