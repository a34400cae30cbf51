/** The table of spells: who worked how long on which pair at which stage, with every time put right since. */
import type { Spell } from '../fold/pair-state.ts';
import type { PairId } from '../ids.ts';
import { type Instant, MINUTE_MS } from '../instant.ts';
import type { Job, Shoe } from '../record/kinds.ts';
import type { Column } from './csv.ts';
import { yesNo } from './record-table.ts';
import { inUtc } from './times.ts';
import type { ExportView } from './view.ts';

export interface SpellRow {
  readonly pair: PairId;
  readonly job: Job | null;
  readonly spell: Spell;
}

export function spellColumns(view: ExportView): readonly Column<SpellRow>[] {
  const text = (head: string, of: (spell: Spell, row: SpellRow) => string | null): Column<SpellRow> => ({
    head,
    is: 'text',
    of: (row) => of(row.spell, row),
  });
  const siteTime = (at: Instant | null) => (at === null ? null : view.siteTime(at));
  return [
    text('Spell', ({ id }) => id),
    text('Pair', (_, { pair }) => pair),
    text('Job', (_, { job }) => job),
    text('Stage', ({ stage }) => stage),
    text('Stage name', ({ stage }) => view.stageName(stage)),
    text('Shoe', ({ shoe }) => shoe),
    text('Bench', ({ bench }) => bench),
    text('Bench name', ({ bench }) => view.benchName(bench)),
    text('Hand', ({ by }) => (by === null ? null : view.handCalled(by))),
    text('Beside', (spell) => othersIn(spell, 'beside', view)),
    text('Answers for it', (spell) => othersIn(spell, 'answers', view)),
    text('From, site time', ({ from }) => siteTime(from)),
    text('To, site time', ({ to }) => siteTime(to)),
    text('From, UTC', ({ from }) => inUtc(from)),
    text('To, UTC', ({ to }) => (to === null ? null : inUtc(to))),
    { head: 'Minutes', is: 'number', of: ({ spell }) => minutesOf(spell) },
    text('Times known', ({ timed, to }) => yesNo(timed && to !== null)),
    text('Times given later', ({ amendedBy }) => yesNo(amendedBy.length > 0)),
    text('Outcome', ({ outcome }) => outcome),
    text('Sent back', sentBack),
  ];
}

/** Elapsed, breaks included, to a hundredth; null where the length of the spell is not known. */
export function minutesOf({ from, to, timed }: Pick<Spell, 'from' | 'to' | 'timed'>): number | null {
  return to === null || !timed ? null : Math.round(((to - from) / MINUTE_MS) * 100) / 100;
}

function othersIn({ joined }: Spell, how: 'beside' | 'answers', { handCalled }: ExportView): string {
  return joined
    .filter(({ as }) => as === how)
    .map(({ hand }) => handCalled(hand))
    .join(', ');
}

/** On which shoe the finished stage was asked for again. */
export function sentBack({ undone: { left, right } }: Pick<Spell, 'undone'>): Shoe | 'no' {
  if (left !== null && right !== null) return 'both';
  if (left !== null) return 'left';
  return right === null ? 'no' : 'right';
}
