/**
 * Where on a shoe a note can lie. Sides are the trade's: inside is the big-toe side, outside the little-toe
 * side. Mirror trap: a left shoe seen from below, toe up, has its inside edge on the viewer's LEFT and looks
 * like a right footprint, so one drawing must never serve both feet (from memory, checked by geometry).
 */
import { oneOf, table, wordsOf, yesOrNot } from './table.ts';

export const VIEWS = ['bottom', 'edge', 'upper', 'inside-shoe', 'opened'] as const;

/** `bottom`: sole seen from below. `edge`: edge and welt, a strip round the bottom. `opened`: only after the strip-down. */
export type View = (typeof VIEWS)[number];

export interface Zone {
  readonly id: string;
  readonly view: View;
  readonly name: string;
  /** The side that the zone itself lies on. */
  readonly side: 'inside' | 'outside' | null;
  /** The zone runs along both sides, so a note on it also says inside or outside. */
  readonly hasSide: boolean;
}

/** Common practice, no source. */
export const ZONES: readonly Zone[] = table(
  'zones',
  ['id', 'view', 'name', 'side', 'hasSide'],
  `
bottom-toe             | bottom      | toe                   | -       | -
bottom-forepart        | bottom      | forepart              | -       | -
bottom-tread-inside    | bottom      | tread, inside         | inside  | -
bottom-tread-outside   | bottom      | tread, outside        | outside | -
bottom-waist-inside    | bottom      | waist, inside         | inside  | -
bottom-waist-outside   | bottom      | waist, outside        | outside | -
bottom-edge-line       | bottom      | channel line          | -       | yes
bottom-breast          | bottom      | heel breast           | -       | -
bottom-heel-inside     | bottom      | heel, inside          | inside  | -
bottom-heel-outside    | bottom      | heel, outside         | outside | -
bottom-heel-back       | bottom      | heel, back            | -       | -
edge-toe               | edge        | edge at the toe       | -       | -
edge-forepart-inside   | edge        | forepart edge, inside | inside  | -
edge-forepart-outside  | edge        | forepart edge, outside| outside | -
edge-waist-inside      | edge        | waist edge, inside    | inside  | -
edge-waist-outside     | edge        | waist edge, outside   | outside | -
edge-seat              | edge        | edge round the seat   | -       | -
upper-toecap           | upper       | toecap                | -       | -
upper-vamp-crease      | upper       | vamp crease           | -       | yes
upper-vamp-side        | upper       | vamp side             | -       | yes
upper-tongue           | upper       | tongue                | -       | -
upper-facing           | upper       | facing                | -       | yes
upper-quarter          | upper       | quarter               | -       | yes
upper-topline          | upper       | topline               | -       | yes
upper-back             | upper       | back seam and strap   | -       | -
upper-counter          | upper       | counter               | -       | yes
upper-feather-line     | upper       | feather line          | -       | yes
inside-insole-forepart | inside-shoe | insole, forepart      | -       | -
inside-insole-waist    | inside-shoe | insole, waist         | -       | -
inside-insole-edge     | inside-shoe | insole edge           | -       | yes
inside-seat            | inside-shoe | seat under the sock   | -       | -
inside-back-lining     | inside-shoe | lining at the back    | -       | yes
inside-forepart-lining | inside-shoe | lining, forepart      | -       | yes
opened-rib             | opened      | rib                   | -       | yes
opened-feather         | opened      | feather               | -       | yes
opened-lasting-margin  | opened      | lasting margin        | -       | yes
opened-shank           | opened      | shank                 | -       | -
opened-cork            | opened      | cork                  | -       | -
opened-welt-seam       | opened      | welt seam             | -       | yes
`,
  (row) => ({
    id: row.id,
    view: oneOf(VIEWS, row.view),
    name: row.name,
    side: row.side === '-' ? null : oneOf(['inside', 'outside'], row.side),
    hasSide: yesOrNot(row.hasSide),
  }),
);

/** Zone ids between spaces, none for `-`; `edge-*` is every zone whose id begins so. Throws where no zone answers. */
export function zoneIdsIn(cell: string): readonly string[] {
  return wordsOf(cell).flatMap((word) => {
    const found = ZONES.map((zone) => zone.id).filter((id) =>
      word.endsWith('*') ? id.startsWith(word.slice(0, -1)) : id === word,
    );
    if (found.length === 0) throw new Error(`"${word}" is no zone`);
    return found;
  });
}
