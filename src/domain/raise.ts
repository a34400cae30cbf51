/**
 * What a note asks for beyond being seen. A defect that a stage still to come on this pair's way cures asks for nothing
 * more; one that a stage done only if needed can cure asks for that stage; one that nothing to come cures asks the owner.
 */
import type { StageCode } from './ids.ts';
import type { Weight } from './record/kinds.ts';
import type { Way } from './way.ts';

export type Raised =
  | { readonly is: 'nothing' }
  | { readonly is: 'stage'; readonly stages: readonly StageCode[] }
  | { readonly is: 'owner' };

/** @param way null where the pair's way is not known: then nobody is asked by itself */
export function raisedBy(weight: Weight, cureAt: readonly StageCode[], way: Way | null): Raised {
  if (way === null || weight === 'mind' || weight === 'mend') return { is: 'nothing' };
  const steps = way.route.filter(({ stage }) => cureAt.includes(stage) && !way.done.has(stage));
  if (steps.some(({ need }) => need === 'always')) return { is: 'nothing' };
  if (steps.length > 0) return { is: 'stage', stages: steps.map(({ stage }) => stage) };
  return { is: 'owner' };
}
