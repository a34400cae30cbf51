/**
 * Where the zones of a shoe lie in its drawings, worked out once. Every drawing is made for the LEFT shoe and
 * placed for the other by mirroring, so that inside and outside can never be swapped between the two.
 *
 * Mirror trap, from directions alone (x to the wearer's right, y to the toe, z up; what lies at the picture's
 * right is the looking direction crossed with the picture's up):
 * - seen from below, toe up: z × y = -x, so the left shoe's inside, its +x side, is on the viewer's LEFT;
 * - left shoe from its outside: x × z = -y, toe to the LEFT; from its inside: -x × z = y, toe to the RIGHT.
 */
import { ZONES } from '../domain/catalogue/zones.ts';

export type ShoeView = 'bottom' | 'inside' | 'outside';
export type OneShoe = 'left' | 'right';
export type Side = 'inside' | 'outside';

export const ONE_SHOES: readonly OneShoe[] = ['left', 'right'];

/** Units of the drawing; y runs down. */
export interface Point {
  readonly x: number;
  readonly y: number;
}

/** A zone's place on the left shoe. A zone that runs along both sides has one region a side in the bottom view. */
export interface Region {
  readonly zone: string;
  readonly side: Side | null;
  readonly points: readonly Point[];
  readonly centre: Point;
}

/** Lines of the picture itself, on the left shoe; each kind has its own class in drawings.css. */
export interface Stroke {
  readonly kind: 'body' | 'under' | 'seam' | 'stitch' | 'dot';
  readonly d: string;
}

export interface Drawing {
  readonly width: number;
  readonly height: number;
  /** Marks and words against their own size: larger in a wider picture, since pages show all in one column. */
  readonly scale: number;
  readonly strokes: readonly Stroke[];
  readonly regions: readonly Region[];
  /** From the left shoe's own units to the picture's. */
  readonly place: Readonly<Record<OneShoe, Placing>>;
}

export interface Placing {
  readonly x: number;
  readonly y: number;
  readonly mirrored: boolean;
}

const p = (x: number, y: number): Point => ({ x, y });

export const placed = ({ x, y, mirrored }: Placing, point: Point): Point =>
  p(mirrored ? x - point.x : x + point.x, y + point.y);

/** The same as an SVG transform. */
export const transformOf = ({ x, y, mirrored }: Placing): string =>
  `matrix(${mirrored ? -1 : 1} 0 0 1 ${x} ${y})`;

const round = (value: number): number => Math.round(value * 10) / 10;

/** An SVG path through the points. */
export function pathOf(points: readonly Point[], closed = true): string {
  return `M${points.map(({ x, y }) => `${round(x)} ${round(y)}`).join('L')}${closed ? 'Z' : ''}`;
}

const STEPS = 10;

/** A smooth line through the points (uniform Catmull-Rom), `STEPS` pieces between each two. */
function smooth(points: readonly Point[], closed = false): Point[] {
  const last = points.length - 1;
  const at = (index: number): Point => {
    const wrapped = closed ? (index + points.length) % points.length : Math.max(0, Math.min(last, index));
    return points[wrapped] ?? p(0, 0);
  };
  const between = (a: number, b: number, c: number, d: number, t: number): number =>
    b + (t / 2) * (c - a + t * (2 * a - 5 * b + 4 * c - d + t * (3 * (b - c) + d - a)));
  const line = Array.from({ length: (closed ? points.length : last) * STEPS }, (_, step) => {
    const start = Math.floor(step / STEPS);
    const [a, b, c, d] = [at(start - 1), at(start), at(start + 1), at(start + 2)];
    const t = (step % STEPS) / STEPS;
    return p(between(a.x, b.x, c.x, d.x, t), between(a.y, b.y, c.y, d.y, t));
  });
  return closed ? line : [...line, at(last)];
}

/** One point of a line moved `by` to the right hand of the line's way as the eye sees it: off the sole, along its ring. */
function aside(before: Point, point: Point, after: Point, by: number): Point {
  const length = Math.hypot(after.x - before.x, after.y - before.y) || 1;
  return p(point.x - (by * (after.y - before.y)) / length, point.y + (by * (after.x - before.x)) / length);
}

const offset = (line: readonly Point[], by: number): Point[] =>
  line.map((point, index) => aside(line[index - 1] ?? point, point, line[index + 1] ?? point, by));

/** Centre of the area. */
function centreOf(points: readonly Point[]): Point {
  let [area, x, y] = [0, 0, 0];
  points.forEach((one, index) => {
    const next = points[(index + 1) % points.length] ?? one;
    const cross = one.x * next.y - next.x * one.y;
    area += cross;
    x += (one.x + next.x) * cross;
    y += (one.y + next.y) * cross;
  });
  return p(x / (3 * area), y / (3 * area));
}

const region = (zone: string, points: readonly Point[], side: Side | null = null): Region => ({
  zone,
  side,
  points,
  centre: centreOf(points),
});

/** A strip between two lines of equal count. Its centre is on the strip, which the centre of a bent area need not be. */
function strip(zone: string, near: readonly Point[], far: readonly Point[]): Region {
  const middle = Math.floor(near.length / 2);
  const [a, b] = [near[middle] ?? p(0, 0), far[middle] ?? p(0, 0)];
  return {
    zone,
    side: null,
    points: [...near, ...far.toReversed()],
    centre: p((a.x + b.x) / 2, (a.y + b.y) / 2),
  };
}

// The bottom: toe at y = 0, heel at y = 310, the inside edge at negative x.

const SOLE_INSIDE = [
  [-12, 0],
  [-36, 11],
  [-50, 40],
  [-54, 84],
  [-50, 120],
  [-38, 156],
  [-28, 190],
  [-27, 222],
  [-31, 254],
  [-30, 282],
  [-18, 303],
  [4, 310],
] as const;
const SOLE_OUTSIDE = [
  [14, 7],
  [38, 32],
  [53, 72],
  [56, 110],
  [51, 146],
  [43, 182],
  [39, 216],
  [40, 252],
  [38, 282],
  [25, 303],
] as const;
const TIP = 0;
const HEEL_END = (SOLE_INSIDE.length - 1) * STEPS;
const ring = smooth(
  [...SOLE_INSIDE, ...SOLE_OUTSIDE.toReversed()].map(([x, y]) => p(x * 1.12, y)),
  true,
);
const LENGTH = 310;
/** Where the heel begins. */
const BREAST_Y = 226;

const onRing = (index: number): Point => ring[(index + ring.length) % ring.length] ?? p(0, 0);

/** The sample of the ring nearest to a height on one side. */
function indexAt(side: Side, y: number): number {
  const [from, to] = side === 'inside' ? [TIP, HEEL_END] : [HEEL_END, ring.length];
  let best = from;
  for (let index = from; index <= to; index += 1) {
    if (Math.abs(onRing(index).y - y) < Math.abs(onRing(best).y - y)) best = index;
  }
  return best;
}

type Station = readonly [Side, number];

/** Along the edge in the ring's direction (toe, inside, heel, outside, toe), `by` units off the sole. */
function edge(from: Station, to: Station, by = 0): Point[] {
  const [start, end] = [indexAt(...from), indexAt(...to)];
  const count = end >= start ? end - start : end - start + ring.length;
  return Array.from({ length: count + 1 }, (_, step) => {
    const index = start + step;
    return aside(onRing(index - 1), onRing(index), onRing(index + 1), by);
  });
}

/** The edge's x on one side at height y, between the two samples about it. */
function edgeX(side: Side, y: number): number {
  const near = indexAt(side, y);
  const point = onRing(near);
  const other = [onRing(near - 1), onRing(near + 1)].find((one) => (one.y - y) * (point.y - y) < 0);
  if (other === undefined) return point.x;
  return point.x + ((other.x - point.x) * (y - point.y)) / (other.y - point.y);
}

/** Across the sole at height y: `across` 0 is the inside edge, 1 the outside edge. */
function acrossSole(across: number, y: number): Point {
  const inside = edgeX('inside', y);
  return p(inside + (edgeX('outside', y) - inside) * across, y);
}

function patch(
  zone: string,
  [left, right]: readonly [number, number],
  [top, bottom]: readonly [number, number],
): Region {
  const count = 20;
  const heights = Array.from(
    { length: count + 1 },
    (_, step) => top + ((bottom - top) * (1 - Math.cos((Math.PI * step) / count))) / 2,
  );
  return region(zone, [
    ...heights.map((y) => acrossSole(left, y)),
    ...heights.toReversed().map((y) => acrossSole(right, y)),
  ]);
}

/** How far the strip for the sole's edge reaches out: a finger's width, though the edge itself is thin. */
const EDGE_REACH = 30;
const edgeStrip = (zone: string, from: Station, to: Station): Region =>
  strip(zone, edge(from, to), edge(from, to, EDGE_REACH));

/** How far in the channel's own region reaches, as a part of the sole's width. */
const CHANNEL = 0.25;

const bottomRegions: readonly Region[] = [
  patch('bottom-toe', [0, 1], [0, 46]),
  patch('bottom-forepart', [CHANNEL, 1 - CHANNEL], [46, 84]),
  patch('bottom-tread-inside', [CHANNEL, 0.5], [84, 150]),
  patch('bottom-tread-outside', [0.5, 1 - CHANNEL], [84, 150]),
  patch('bottom-waist-inside', [0, 0.5], [150, 208]),
  patch('bottom-waist-outside', [0.5, 1], [150, 208]),
  { ...patch('bottom-edge-line', [0, CHANNEL], [46, 150]), side: 'inside' },
  { ...patch('bottom-edge-line', [1 - CHANNEL, 1], [46, 150]), side: 'outside' },
  patch('bottom-breast', [0, 1], [208, 242]),
  patch('bottom-heel-inside', [0, 0.5], [242, 280]),
  patch('bottom-heel-outside', [0.5, 1], [242, 280]),
  patch('bottom-heel-back', [0, 1], [280, LENGTH]),
  edgeStrip('edge-toe', ['outside', 46], ['inside', 46]),
  edgeStrip('edge-forepart-inside', ['inside', 46], ['inside', 150]),
  edgeStrip('edge-forepart-outside', ['outside', 150], ['outside', 46]),
  edgeStrip('edge-waist-inside', ['inside', 150], ['inside', BREAST_Y]),
  edgeStrip('edge-waist-outside', ['outside', BREAST_Y], ['outside', 150]),
  edgeStrip('edge-seat', ['inside', BREAST_Y], ['outside', BREAST_Y]),
];

const breast = smooth([acrossSole(0, BREAST_Y), p(6, BREAST_Y - 7), acrossSole(1, BREAST_Y)]);
const seatLine = edge(['inside', BREAST_Y + 14], ['outside', BREAST_Y + 14], -10);
const seatNails = seatLine.filter((_, index) => (index - Math.floor(seatLine.length / 2)) % 6 === 0);

const bottom: Drawing = {
  width: 560,
  height: 420,
  scale: 1,
  strokes: [
    { kind: 'body', d: pathOf(ring) },
    {
      kind: 'stitch',
      d: pathOf(edge(['outside', BREAST_Y - 6], ['inside', BREAST_Y - 6], -10), false),
    },
    { kind: 'seam', d: pathOf(breast, false) },
    // The rubber corner of the top piece, at the outside where a heel wears first.
    { kind: 'seam', d: pathOf([acrossSole(0.04, 286), acrossSole(1, 262)], false) },
    ...seatNails.map((nail): Stroke => ({ kind: 'dot', d: pathOf([nail, p(nail.x + 0.1, nail.y)], false) })),
  ],
  regions: bottomRegions,
  place: { left: { x: 140, y: 34, mirrored: false }, right: { x: 420, y: 34, mirrored: true } },
};

// The side, as the left shoe's outside shows: toe at the left, ground at y = 200.

const curve = (...points: readonly (readonly [number, number])[]): Point[] =>
  smooth(points.map(([x, y]) => p(x, y)));
const back = (line: readonly Point[]): Point[] => line.toReversed();

const toeTop = curve([13, 166], [14, 154], [26, 141], [48, 132], [72, 126]);
const vampTop = curve([72, 126], [96, 117], [118, 105], [136, 90]);
const tongue = curve([136, 90], [146, 64], [159, 40], [172, 27], [193, 29], [186, 42]);
const facingFront = curve([136, 90], [160, 67], [186, 42]);
const facingTop = curve([186, 42], [197, 51], [208, 57]);
const facingBack = curve([208, 57], [196, 76], [172, 101], [143, 122]);
const topline = curve([208, 57], [236, 65], [258, 61], [272, 54]);
const strapTop = curve([272, 54], [284, 47], [296, 40]);
const heelCurve = curve([296, 40], [303, 68], [309, 104]);
const counterBack = curve([309, 104], [310, 130], [305, 147]);
const strapFront = curve([272, 54], [276, 80], [280, 108]);
const strapFoot = curve([280, 108], [296, 107], [309, 104]);
const counterFront = curve([280, 108], [262, 112], [247, 128], [240, 151]);
const toplineFoot = curve([191, 82], [232, 92], [276, 82]);
const seamUpper = curve([136, 90], [138, 106], [143, 122]);
const seamMiddle = curve([143, 122], [147, 131], [152, 139]);
const seamLower = curve([152, 139], [162, 153], [178, 166]);
const capUpper = curve([72, 126], [76, 138], [79, 150]);
const capLower = curve([79, 150], [83, 163], [90, 175]);
const creaseFoot = curve([79, 150], [115, 148], [152, 139]);
/** Twelve units above the feather line, where the zones of the upper end. */
const footToe = curve([13, 166], [46, 172], [90, 175]);
const footVamp = curve([90, 175], [134, 174], [178, 166]);
const footQuarter = curve([178, 166], [208, 158], [240, 151]);
const footHeel = curve([240, 151], [272, 148], [305, 147]);
const foot = [...footToe, ...footVamp, ...footQuarter, ...footHeel];
const feather = offset(foot, 12);

const upperRegions: readonly Region[] = [
  region('upper-toecap', [...toeTop, ...capUpper, ...capLower, ...back(footToe)]),
  region('upper-vamp-crease', [
    ...vampTop,
    ...seamUpper,
    ...seamMiddle,
    ...back(creaseFoot),
    ...back(capUpper),
  ]),
  region('upper-vamp-side', [...creaseFoot, ...seamLower, ...back(footVamp), ...back(capLower)]),
  region('upper-tongue', [...tongue, ...back(facingFront)]),
  region('upper-facing', [...facingFront, ...facingTop, ...facingBack, ...back(seamUpper)]),
  region('upper-quarter', [
    ...back(facingBack.filter((point) => point.x < 191)),
    ...toplineFoot,
    ...strapFront.filter((point) => point.y > 82),
    ...counterFront,
    ...back(footQuarter),
    ...back(seamLower),
    ...back(seamMiddle),
  ]),
  region('upper-topline', [
    ...topline,
    ...strapFront.filter((point) => point.y < 82),
    ...back(toplineFoot),
    ...back(facingBack.filter((point) => point.x > 191)),
  ]),
  region('upper-back', [...strapTop, ...heelCurve, ...back(strapFoot), ...back(strapFront)]),
  region('upper-counter', [...strapFoot, ...counterBack, ...back(footHeel), ...back(counterFront)]),
  strip('upper-feather-line', foot, offset(foot, EDGE_REACH)),
];

const upperBody = [
  ...[toeTop, vampTop, facingFront, facingTop, topline, strapTop, heelCurve, counterBack].flat(),
  ...back(feather),
];
/** Welt and sole as one strip; from the breast on, the seat. */
const soleFoot = [...curve([9, 180], [30, 192], [64, 199], [108, 200], [150, 194], [196, 180], [228, 171])];
const soleBody = [...soleFoot, p(308, 169), ...back(feather)];
const heelBlock = [p(228, 171), ...curve([228, 171], [224, 184], [226, 200]), p(310, 200), p(308, 169)];
const eyelets = offset(facingFront, 8).filter((_, index) => index % 4 === 2);

const upperStrokes: readonly Stroke[] = [
  { kind: 'under', d: pathOf([...tongue, ...back(facingFront)]) },
  { kind: 'body', d: pathOf(upperBody) },
  { kind: 'body', d: pathOf(heelBlock) },
  { kind: 'body', d: pathOf(soleBody) },
  ...[184, 192].map((y): Stroke => ({ kind: 'seam', d: pathOf([p(225, y), p(309, y)], false) })),
  { kind: 'stitch', d: pathOf(offset(foot, 17), false) },
  ...[
    [...capUpper, ...capLower, ...curve([90, 175], [92, 181], [93, 187])],
    [...seamUpper, ...seamMiddle, ...seamLower, ...curve([178, 166], [183, 171], [188, 175])],
    facingBack,
    counterFront,
    [...strapFront, ...strapFoot],
  ].map((line): Stroke => ({ kind: 'seam', d: pathOf(line, false) })),
  { kind: 'stitch', d: pathOf(offset([...capUpper, ...capLower], 5), false) },
  { kind: 'stitch', d: pathOf(offset(topline, 6), false) },
  ...eyelets.map(
    (eyelet): Stroke => ({ kind: 'dot', d: pathOf([eyelet, p(eyelet.x + 0.1, eyelet.y)], false) }),
  ),
];

const UPPER_WIDTH = 720;
/** Toes outwards when the outsides are seen, heels outwards when the insides are. */
const upper = (view: 'inside' | 'outside'): Drawing => ({
  width: UPPER_WIDTH,
  height: 290,
  scale: 1.3,
  strokes: upperStrokes,
  regions: upperRegions.map((one) =>
    ZONES.some((zone) => zone.id === one.zone && zone.hasSide) ? { ...one, side: view } : one,
  ),
  place:
    view === 'outside'
      ? { left: { x: 18, y: 20, mirrored: false }, right: { x: UPPER_WIDTH - 18, y: 20, mirrored: true } }
      : { left: { x: 340, y: 20, mirrored: true }, right: { x: 380, y: 20, mirrored: false } },
});

export const DRAWINGS: Readonly<Record<ShoeView, Drawing>> = {
  bottom,
  inside: upper('inside'),
  outside: upper('outside'),
};

/** The views that draw a zone; none for a zone inside the shoe or one laid bare by the strip-down. */
export const viewsThatDraw = (zone: string): readonly ShoeView[] =>
  (['bottom', 'inside', 'outside'] as const).filter((view) =>
    DRAWINGS[view].regions.some((one) => one.zone === zone),
  );
