/** What a scan can mean by what is on the screen, and what tells one scan from the next. */
import type { Code } from '../../domain/code.ts';
import type { PairId } from '../../domain/ids.ts';
import type { Instant } from '../../domain/instant.ts';
import type { Awaiting } from '../../domain/intent.ts';
import { isStopped } from './bar-parts.ts';
import { UNDO_MS } from './card-bar.ts';
import type { Screen } from './screen.ts';

/** What the card on the screen is waiting for. */
export function awaitingOf(screen: Screen): Awaiting {
  if (screen.is !== 'card') return { is: 'nothing' };
  const { moment, choosing, id } = screen.card;
  if (choosing?.is === 'second-hand') return { is: 'second-hand' };
  switch (moment.is) {
    case 'asked':
      return { is: 'question', question: moment.question };
    case 'stopped':
      return { is: 'release' };
    case 'boxing':
      return isStopped(screen.card) ? { is: 'release' } : { is: 'tag', pair: id };
    default:
      return isStopped(screen.card) ? { is: 'release' } : { is: 'nothing' };
  }
}

/** What tells one scan from the next; null for what leads to no record. */
export function nameOfCode(code: Code): string | null {
  switch (code.kind) {
    case 'ticket':
      return `${code.pair} ${code.shoe ?? ''}`;
    case 'badge':
      return code.token;
    case 'rack':
      return code.rack;
    default:
      return null;
  }
}

/** The pair that a rack's code means: one at work, or one that has only just been put down. */
export function cardToRack(screen: Screen, now: Instant): PairId | null {
  if (screen.is !== 'card') return null;
  const { id, moment } = screen.card;
  const atWork = moment.is === 'clocked-in' || moment.is === 'open';
  return atWork || now - moment.at < UNDO_MS ? id : null;
}
