import '../../parts/drawings.css';
import type { NoteState } from '../../domain/fold/pair-state.ts';
import { ShoeOutline } from '../../parts/shoe-outline.tsx';
import { type ShoeView, viewsThatDraw } from '../../parts/shoe-paths.ts';

/** The stage's notes where they are on the shoes, numbered as in the list. */
export function Shoes({ notes }: { readonly notes: readonly NoteState[] }) {
  const marks = notes.map(({ note: { id, shoe, zone, weight, side } }, index) => ({
    id,
    shoe,
    zone,
    weight,
    side,
    number: index + 1,
  }));
  return <ShoeOutline view={viewOf(notes)} marks={marks} />;
}

/** The view that draws most of the notes; the bottom where they are equal, since that is what benches look at. */
function viewOf(notes: readonly NoteState[]): ShoeView {
  const views: readonly ShoeView[] = ['bottom', 'outside', 'inside'];
  const drawn = (view: ShoeView) =>
    notes.filter(({ note: { zone } }) => zone !== null && viewsThatDraw(zone).includes(view)).length;
  return views.reduce((best, view) => (drawn(view) > drawn(best) ? view : best));
}
