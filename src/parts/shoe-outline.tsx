/** The two shoes of a pair, left on the left, with the notes where they lie. */
import { ZONES } from '../domain/catalogue/zones.ts';
import type { Shoe, Weight } from '../domain/record/kinds.ts';
import { drawingWords } from '../words/drawings.ts';
import { shoeNames, weightNames } from '../words/names.ts';
import {
  DRAWINGS,
  type Drawing,
  ONE_SHOES,
  type OneShoe,
  type Point,
  pathOf,
  placed,
  type Region,
  type ShoeView,
  type Side,
  transformOf,
} from './shoe-paths.ts';
import { MARK_REACH, MarkShape } from './weight-mark.tsx';

export interface ShoeMark {
  readonly id: string;
  readonly shoe: Shoe;
  /** A zone id. A mark without one, or with one that this view does not draw, stands beside the shoe's letter. */
  readonly zone: string | null;
  readonly weight: Weight;
  /** The note's number in the list beside the drawing. */
  readonly number: number;
  /** For a zone that runs along both sides, the one that is meant, where it is known. */
  readonly side?: Side | null;
}

export interface PickedZone {
  readonly zone: string;
  readonly shoe: OneShoe;
  readonly side: Side | null;
}

export interface ShoeOutlineProps {
  readonly view: ShoeView;
  readonly marks: readonly ShoeMark[];
  /** Makes every zone a button. Room for a finger (about 44 px) needs 830 px of width from below, 1200 from a side. */
  readonly onZone?: (picked: PickedZone) => void;
}

/**
 * In units of the drawing. On a tablet of 1280 by 800 the bench shows a view some 250 px high or 410 px wide: the words
 * that tell the sides apart are then 20 px high, to be read at arm's length.
 */
const EDGE_WORD = 34;
const SEEN_WORD: Readonly<Record<ShoeView, number>> = { bottom: 28, inside: 36, outside: 36 };
/** Beside the heels, where the waist's marks hide no word. */
const EDGE_WORD_Y = 296;

export function ShoeOutline({ view, marks, onZone }: ShoeOutlineProps) {
  const drawing = DRAWINGS[view];
  const spots = spotsOf(view, marks);
  return (
    // biome-ignore lint/a11y/useSemanticElements: a fieldset cannot stand for a drawing
    <svg
      class="drawing shoe-outline"
      role="group"
      aria-label={drawingWords.picture[view]}
      viewBox={`0 0 ${drawing.width} ${drawing.height}`}
    >
      {ONE_SHOES.map((shoe) => (
        <g key={shoe}>
          <g transform={transformOf(drawing.place[shoe])}>
            {drawing.strokes.map(({ kind, d }) => (
              <path key={d} class={`shoe-${kind}`} d={d} />
            ))}
            {drawing.regions.map((region) => (
              <Zone
                key={`${region.zone} ${region.side}`}
                region={region}
                shoe={shoe}
                marked={spots.some((spot) => spot.shoe === shoe && spot.region === region)}
                onZone={onZone}
              />
            ))}
          </g>
          <Lettering view={view} shoe={shoe} />
        </g>
      ))}
      <text
        class="shoe-words"
        font-size={SEEN_WORD[view]}
        x={drawing.width / 2}
        y={drawing.height - 10}
        text-anchor="middle"
      >
        {drawingWords.seen[view]}
      </text>
      {spots.map((spot) => (
        <Spot key={`${spot.mark.id} ${spot.shoe}`} spot={spot} scale={drawing.scale} />
      ))}
    </svg>
  );
}

/** "left, tread, inside"; the side is said where the name alone leaves it open. */
function nameOf(region: Region, shoe: OneShoe): string {
  const zone = ZONES.find(({ id }) => id === region.zone);
  const side = zone?.hasSide === true && region.side !== null ? `, ${drawingWords[region.side]}` : '';
  return `${shoeNames[shoe]}, ${zone?.name ?? region.zone}${side}`;
}

interface ZoneProps {
  readonly region: Region;
  readonly shoe: OneShoe;
  readonly marked: boolean;
  readonly onZone: ShoeOutlineProps['onZone'];
}

function Zone({ region, shoe, marked, onZone }: ZoneProps) {
  const { zone, side, points } = region;
  const name = nameOf(region, shoe);
  if (onZone === undefined) {
    return (
      <path class={`shoe-zone${marked ? ' shoe-zone--marked' : ''}`} data-zone={zone} d={pathOf(points)}>
        <title>{name}</title>
      </path>
    );
  }
  const pick = () => onZone({ zone, shoe, side });
  return (
    // biome-ignore lint/a11y/useSemanticElements: SVG has no button of its own
    <path
      class="shoe-zone shoe-zone--button"
      data-zone={zone}
      d={pathOf(points)}
      role="button"
      // In lower case: an SVG element knows no tabIndex, and would take no focus.
      tabindex={0}
      aria-label={name}
      onClick={pick}
      onKeyDown={(event: KeyboardEvent) => {
        if (event.key !== 'Enter' && event.key !== ' ') return;
        event.preventDefault();
        pick();
      }}
    />
  );
}

/**
 * Letter under the shoe and, from below, which edge is which: the two outsides face each other, so that one word between
 * them reaches to both. A side view shows one side only and says it.
 */
function Lettering({ view, shoe }: { readonly view: ShoeView; readonly shoe: OneShoe }) {
  const drawing = DRAWINGS[view];
  const { mirrored } = drawing.place[shoe];
  const at = (x: number) => placed(drawing.place[shoe], { x, y: EDGE_WORD_Y });
  const [inside, outside] = [at(-134), at(140)];
  return (
    <g>
      {view === 'bottom' && (
        <>
          <text
            class="shoe-words"
            font-size={EDGE_WORD}
            x={inside.x}
            y={inside.y}
            text-anchor={mirrored ? 'end' : 'start'}
          >
            {drawingWords.inside}
          </text>
          {!mirrored && (
            <text class="shoe-words" font-size={EDGE_WORD} x={outside.x} y={outside.y} text-anchor="middle">
              {drawingWords.outside}
            </text>
          )}
          <path class="shoe-reach" d={pathOf([reach(at(80)), reach(at(54))], false)} />
        </>
      )}
      <text
        class="shoe-letter"
        x={letterAt(drawing, shoe).x}
        y={letterAt(drawing, shoe).y}
        text-anchor="middle"
      >
        {drawingWords.letter[shoe]}
      </text>
    </g>
  );
}

/** From the middle of a word's height. */
const reach = ({ x, y }: Point): Point => ({ x, y: y - EDGE_WORD / 3 });

function letterAt(drawing: Drawing, shoe: OneShoe): Point {
  const x =
    drawing === DRAWINGS.bottom ? drawing.place[shoe].x : drawing.width * (shoe === 'left' ? 0.17 : 0.83);
  return { x, y: drawing.height - 10 };
}

/** A mark on one shoe: where it belongs, and where it is drawn so that none hides another. */
export interface MarkSpot {
  readonly mark: ShoeMark;
  readonly shoe: OneShoe;
  readonly region: Region | null;
  readonly home: Point;
  readonly at: Point;
}

/** Free space between two marks. */
const GAP = 6;
const ROUNDS = 200;

/** Every mark's place in a view, pushed apart until none overlaps; the same marks always give the same places. */
export function spotsOf(view: ShoeView, marks: readonly ShoeMark[]): readonly MarkSpot[] {
  const drawing = DRAWINGS[view];
  const spots = marks.flatMap((mark) =>
    ONE_SHOES.filter((shoe) => mark.shoe === 'both' || mark.shoe === shoe).map((shoe) => {
      const region = regionOf(drawing, mark);
      return { mark, shoe, region, home: homeOf(drawing, mark, shoe, region) };
    }),
  );
  const places = apart(
    spots.map(({ home }) => home),
    drawing,
  );
  return spots.map((spot, index) => ({ ...spot, at: places[index] ?? spot.home }));
}

function regionOf(drawing: Drawing, { zone, side }: ShoeMark): Region | null {
  const regions = drawing.regions.filter((region) => region.zone === zone);
  return regions.find((region) => region.side === side) ?? regions[0] ?? null;
}

function homeOf(drawing: Drawing, mark: ShoeMark, shoe: OneShoe, region: Region | null): Point {
  if (region === null) {
    const letter = letterAt(drawing, shoe);
    const aside = 28 + MARK_REACH * drawing.scale;
    return { x: letter.x + (shoe === 'left' ? -aside : aside), y: letter.y - 16 };
  }
  const sidesOfZone = drawing.regions.filter(({ zone }) => zone === region.zone).length;
  // On a line along both sides, a note that names neither must not seem to name one: it goes to the line's middle, the toe.
  const own = sidesOfZone > 1 && region.side !== mark.side ? { x: -6, y: 12 } : region.centre;
  return placed(drawing.place[shoe], own);
}

function apart(homes: readonly Point[], { width, height, scale }: Drawing): readonly Point[] {
  const reach = MARK_REACH * scale;
  const apartBy = 2 * reach + GAP;
  // Marks of one place start a hair apart, in a ring, for else nothing would say which way to push them.
  const places = homes.map(({ x, y }, index) => ({
    x: x + Math.cos(index * 2.4),
    y: y + Math.sin(index * 2.4),
  }));
  for (let round = 0; round < ROUNDS; round += 1) {
    let moved = false;
    places.forEach((one, index) => {
      for (const other of places.slice(index + 1)) {
        const [dx, dy] = [other.x - one.x, other.y - one.y];
        const distance = Math.hypot(dx, dy);
        if (distance >= apartBy - 0.01) continue;
        const push = (apartBy - distance) / 2 / (distance || 1);
        one.x -= dx * push;
        one.y -= dy * push;
        other.x += dx * push;
        other.y += dy * push;
        moved = true;
      }
      one.x = Math.max(reach + 2, Math.min(width - reach - 2, one.x));
      one.y = Math.max(reach + 2, Math.min(height - reach - 2, one.y));
    });
    if (!moved) break;
  }
  return places;
}

interface SpotProps {
  readonly spot: MarkSpot;
  readonly scale: number;
}

function Spot({ spot: { mark, shoe, region, home, at }, scale }: SpotProps) {
  const where = region === null ? `${shoeNames[shoe]}, ${drawingWords.wholeShoe}` : nameOf(region, shoe);
  const strayed = region !== null && Math.hypot(at.x - home.x, at.y - home.y) > MARK_REACH * 0.8;
  return (
    // biome-ignore lint/a11y/noInteractiveElementToNoninteractiveRole: an SVG group without tabindex takes no focus
    <g class="shoe-mark" role="img" aria-label={`${weightNames[mark.weight]} ${mark.number}: ${where}`}>
      {strayed ? <path class="shoe-leader" d={pathOf([home, at], false)} /> : null}
      <g transform={`translate(${at.x.toFixed(1)} ${at.y.toFixed(1)}) scale(${scale})`}>
        <MarkShape weight={mark.weight} label={String(mark.number)} />
      </g>
    </g>
  );
}
