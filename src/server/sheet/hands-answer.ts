/** Figures about single persons, for the holder of a badge: a supervisor sees all, anybody else their own. */
import { classify } from '../../domain/code.ts';
import { holderOf } from '../../domain/code-hash.ts';
import { total } from '../../domain/figures/member.ts';
import type { ShiftSheet } from '../../domain/figures/sheet.ts';
import type { OperativeId } from '../../domain/ids.ts';
import { nameOf, roleOf, type SiteBook } from '../../domain/site-book.ts';
import type { HandsAnswer } from '../../wire/sheet.ts';
import type { Asked } from './asked.ts';
import { personalFigures } from './personal.ts';
import { stageName } from './sheet-answer.ts';

/** @param badge the text on the badge, as it was scanned or typed */
export function handsAnswer(sheet: ShiftSheet, { book, now }: Asked, badge: string): HandsAnswer {
  const may = personalFigures(book, sheet.shift, now);
  if (may !== 'asked-for') return { is: may };
  const holder = holderIn(book, badge);
  if (holder === null) return { is: 'unknown-badge' };
  const all = roleOf(book, holder) === 'supervisor';
  return {
    is: 'hands',
    holder: { hand: holder, name: nameOf(book, holder), all },
    hands: sheet.hands
      .filter(({ hand }) => all || hand === holder)
      .map(({ hand, onMs, touchMs, stages }) => ({
        hand,
        name: nameOf(book, hand),
        onMs,
        touchMs,
        stages: stages.map(({ stage, out }) => ({ stage, name: stageName(book, stage), out: total(out) })),
      }))
      // By name and never by speed: this is no ranking.
      .sort((one, other) => (one.name ?? one.hand).localeCompare(other.name ?? other.hand)),
  };
}

/** Whether the holder of the badge may see the figures of this hand in this shift. */
export function maySee(
  hand: OperativeId,
  { shift }: ShiftSheet,
  { book, now }: Asked,
  badge: string,
): boolean {
  if (personalFigures(book, shift, now) !== 'asked-for') return false;
  const holder = holderIn(book, badge);
  return holder !== null && (holder === hand || roleOf(book, holder) === 'supervisor');
}

function holderIn(book: SiteBook, badge: string): OperativeId | null {
  const code = classify(badge, 'typed', book.ticketPattern);
  return code.kind === 'badge' ? holderOf(book, code.token) : null;
}
