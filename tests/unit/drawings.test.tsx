import { Fragment, isValidElement, type VNode } from 'preact';
import { describe, expect, test } from 'vitest';
import { PICTOGRAM_IDS, PICTOGRAMS } from '../../src/domain/catalogue/pictograms.ts';
import { ZONES } from '../../src/domain/catalogue/zones.ts';
import { WEIGHTS } from '../../src/domain/record/kinds.ts';
import { Pictogram } from '../../src/parts/pictogram.tsx';
import { type PickedZone, ShoeOutline, spotsOf } from '../../src/parts/shoe-outline.tsx';
import {
  DRAWINGS,
  ONE_SHOES,
  type OneShoe,
  placed,
  type ShoeView,
  transformOf,
  viewsThatDraw,
} from '../../src/parts/shoe-paths.ts';
import { MARK_REACH, WeightMark } from '../../src/parts/weight-mark.tsx';

interface Element {
  readonly tag: string;
  readonly props: Readonly<Record<string, unknown>>;
  readonly text: string;
}

/** What a component without state of its own draws, as a flat list of SVG elements in drawing order. */
function drawnBy(node: unknown): readonly Element[] {
  if (Array.isArray(node)) return node.flatMap(drawnBy);
  if (!isValidElement(node)) return [];
  const { type, props } = node as VNode<Record<string, unknown>>;
  if (type === Fragment) return drawnBy(props.children);
  if (typeof type === 'function') return drawnBy((type as (given: unknown) => unknown)(props));
  const texts = [props.children].flat(9).filter((child) => typeof child === 'string');
  const { children, ...attributes } = props;
  return [{ tag: String(type), props: attributes, text: texts.join('') }, ...drawnBy(children)];
}

const named = (elements: readonly Element[], name: string): Element => {
  const found = elements.filter(({ props }) => props['aria-label'] === name);
  if (found[0] === undefined || found.length > 1)
    throw new Error(`${found.length} elements are named "${name}"`);
  return found[0];
};

const VIEWS: readonly ShoeView[] = ['bottom', 'inside', 'outside'];
const pictured = (node: unknown) => drawnBy(node).filter(({ tag }) => tag !== 'svg');

describe('pictograms', () => {
  test.each(PICTOGRAM_IDS)('%s is a picture named by its meaning', (id) => {
    const [svg] = drawnBy(<Pictogram id={id} size={52} />);
    expect(svg?.tag).toBe('svg');
    expect(svg?.props).toMatchObject({
      role: 'img',
      'aria-label': PICTOGRAMS[id].meaning,
      width: 52,
      height: 52,
    });
  });

  // The shapes and colours that ISO 7010 and ISO 3864-1 give the three kinds; from memory.
  test.each(PICTOGRAM_IDS)('%s has the ground of its kind', (id) => {
    const elements = pictured(<Pictogram id={id} size={52} />);
    const ground = elements[0];
    const last = elements.at(-1);
    if (PICTOGRAMS[id].family === 'mandatory') {
      expect(ground).toMatchObject({ tag: 'circle', props: { fill: '#0a4f8a' } });
    } else if (PICTOGRAMS[id].family === 'warning') {
      expect(ground).toMatchObject({ tag: 'path', props: { fill: '#f6b500', stroke: '#1d1916' } });
      // Three corners, the point upwards.
      expect(ground?.props.d).toBe('M50 10 92 87H8z');
    } else {
      // The ring and its bar lie over the glyph, or the glyph could be read as allowed.
      expect(last).toMatchObject({ tag: 'circle', props: { fill: 'none', stroke: '#9b1620' } });
      expect(elements.at(-2)).toMatchObject({ tag: 'path', props: { stroke: '#9b1620' } });
    }
  });

  test('no two look the same, and only the bare prohibition has no glyph', () => {
    const looks = PICTOGRAM_IDS.map((id) => JSON.stringify(pictured(<Pictogram id={id} size={52} />)));
    expect(new Set(looks).size).toBe(PICTOGRAM_IDS.length);
    const grounds = { mandatory: 1, warning: 1, prohibition: 3 };
    const bare = PICTOGRAM_IDS.filter(
      (id) => pictured(<Pictogram id={id} size={52} />).length <= grounds[PICTOGRAMS[id].family],
    );
    expect(bare).toEqual(['general-prohibition']);
  });

  test('nothing carries a style attribute, which the page may not use', () => {
    const drawings = [
      ...PICTOGRAM_IDS.map((id) => <Pictogram key={id} id={id} size={52} />),
      ...VIEWS.map((view) => <ShoeOutline key={view} view={view} marks={[]} onZone={() => {}} />),
      ...WEIGHTS.map((weight) => <WeightMark key={weight} weight={weight} label="1" size={40} />),
    ];
    expect(drawnBy(drawings).filter(({ props }) => 'style' in props)).toEqual([]);
  });
});

describe('mirror trap', () => {
  type Axis = readonly [right: number, toe: number, up: number];
  const cross = ([a, b, c]: Axis, [d, e, f]: Axis): Axis => [b * f - c * e, c * d - a * f, a * e - b * d];
  const TOE: Axis = [0, 1, 0];
  const UP: Axis = [0, 0, 1];
  /** The wearer's right foot has its outside at the wearer's right. */
  const outsideOf = (shoe: OneShoe): Axis => [shoe === 'right' ? 1 : -1, 0, 0];
  const against = ([a, b, c]: Axis): Axis => [-a, -b, -c];
  const dot = (a: Axis, b: Axis) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];

  const centreX = (view: ShoeView, shoe: OneShoe, zone: string): number => {
    const { regions, place } = DRAWINGS[view];
    const region = regions.find((one) => one.zone === zone);
    if (region === undefined) throw new Error(`${view} has no ${zone}`);
    return placed(place[shoe], region.centre).x;
  };
  const middleOf = (view: ShoeView, shoe: OneShoe): number => {
    const xs = DRAWINGS[view].regions.flatMap(({ points }) =>
      points.map((point) => placed(DRAWINGS[view].place[shoe], point).x),
    );
    return (Math.min(...xs) + Math.max(...xs)) / 2;
  };

  test('left stands on the left in every view', () => {
    for (const view of VIEWS) expect(middleOf(view, 'left')).toBeLessThan(middleOf(view, 'right'));
  });

  test('seen from below, the left shoe has its inside on the left and the right shoe on the right', () => {
    for (const part of ['bottom-tread', 'bottom-waist', 'bottom-heel']) {
      const sole = (shoe: OneShoe) => DRAWINGS.bottom.place[shoe].x;
      expect(centreX('bottom', 'left', `${part}-inside`)).toBeLessThan(sole('left'));
      expect(centreX('bottom', 'left', `${part}-inside`)).toBeLessThan(
        centreX('bottom', 'left', `${part}-outside`),
      );
      expect(centreX('bottom', 'right', `${part}-inside`)).toBeGreaterThan(sole('right'));
      expect(centreX('bottom', 'right', `${part}-inside`)).toBeGreaterThan(
        centreX('bottom', 'right', `${part}-outside`),
      );
    }
  });

  test.each(ONE_SHOES)(
    '%s shoe from below agrees with the geometry of looking up, toe at the top',
    (shoe) => {
      // The picture's right is the looking direction crossed with the picture's up, for any viewer.
      const pictureRight = cross(UP, TOE);
      const outsideIsRight = dot(outsideOf(shoe), pictureRight) > 0;
      const drawn =
        centreX('bottom', shoe, 'edge-forepart-outside') > centreX('bottom', shoe, 'edge-forepart-inside');
      expect(drawn).toBe(outsideIsRight);
      const bigToe = DRAWINGS.bottom.regions.find(({ zone }) => zone === 'bottom-toe')?.points[0];
      expect(bigToe?.x).toBeLessThan(0);
    },
  );

  test.each(ONE_SHOES.flatMap((shoe) => [[shoe, 'outside'] as const, [shoe, 'inside'] as const]))(
    '%s shoe from its %s points its toe as the geometry says',
    (shoe, view) => {
      const outwards = outsideOf(shoe);
      const looking = view === 'outside' ? against(outwards) : outwards;
      const toeIsRight = dot(TOE, cross(looking, UP)) > 0;
      expect(centreX(view, shoe, 'upper-toecap') > centreX(view, shoe, 'upper-counter')).toBe(toeIsRight);
    },
  );

  test('a mark follows its side on both shoes', () => {
    const [left, right] = spotsOf('bottom', [
      { id: 'a', shoe: 'both', zone: 'bottom-waist-inside', weight: 'mind', number: 1 },
    ]);
    expect(left?.at.x).toBeLessThan(DRAWINGS.bottom.place.left.x);
    expect(right?.at.x).toBeGreaterThan(DRAWINGS.bottom.place.right.x);
    const [edge] = spotsOf('bottom', [
      { id: 'b', shoe: 'left', zone: 'bottom-edge-line', side: 'outside', weight: 'mind', number: 1 },
    ]);
    expect(edge?.at.x).toBeGreaterThan(DRAWINGS.bottom.place.left.x + 30);
  });
});

describe('zones', () => {
  const zonesOf = (...views: string[]) =>
    ZONES.filter(({ view }) => views.includes(view)).map(({ id }) => id);

  test('the bottom draws every zone of bottom and edge, each side every zone of the upper', () => {
    const drawn = (view: ShoeView) => [...new Set(DRAWINGS[view].regions.map(({ zone }) => zone))].sort();
    expect(drawn('bottom')).toEqual(zonesOf('bottom', 'edge').sort());
    expect(drawn('inside')).toEqual(zonesOf('upper').sort());
    expect(drawn('outside')).toEqual(zonesOf('upper').sort());
    for (const zone of zonesOf('inside-shoe', 'opened')) expect(viewsThatDraw(zone)).toEqual([]);
    expect(viewsThatDraw('upper-quarter')).toEqual(['inside', 'outside']);
  });

  test.each(VIEWS)(
    '%s: every region lies inside the picture, on its own shoe, and holds its centre',
    (view) => {
      const { regions, place, width, height } = DRAWINGS[view];
      for (const { zone, points, centre } of regions) {
        for (const shoe of ONE_SHOES) {
          for (const point of points.map((one) => placed(place[shoe], one))) {
            expect.soft(point.y, zone).toBeGreaterThanOrEqual(0);
            expect.soft(point.y, zone).toBeLessThanOrEqual(height);
            expect.soft(point.x, zone).toBeGreaterThanOrEqual(shoe === 'left' ? 0 : width / 2);
            expect.soft(point.x, zone).toBeLessThanOrEqual(shoe === 'left' ? width / 2 : width);
          }
        }
        expect.soft(holds(points, centre), zone).toBe(true);
      }
    },
  );

  test.each(VIEWS)('%s: no two regions lie over each other', (view) => {
    const { regions } = DRAWINGS[view];
    for (let x = -100; x <= 330; x += 3.7) {
      for (let y = -40; y <= 350; y += 3.7) {
        const here = regions.filter(({ points }) => holds(points, { x, y })).map(({ zone }) => zone);
        expect.soft(here.length, `${x} ${y}: ${here.join(' ')}`).toBeLessThanOrEqual(1);
      }
    }
  });

  test('transform and placing say the same', () => {
    expect(transformOf({ x: 420, y: 34, mirrored: true })).toBe('matrix(-1 0 0 1 420 34)');
    expect(placed({ x: 420, y: 34, mirrored: true }, { x: 10, y: 5 })).toEqual({ x: 410, y: 39 });
  });

  test('as buttons they have names, take focus, and answer a tap and the keys', () => {
    const picked: PickedZone[] = [];
    const elements = drawnBy(<ShoeOutline view="bottom" marks={[]} onZone={(zone) => picked.push(zone)} />);
    const buttons = elements.filter(({ props }) => props.role === 'button');
    expect(buttons).toHaveLength(2 * DRAWINGS.bottom.regions.length);
    expect(new Set(buttons.map(({ props }) => props['aria-label'])).size).toBe(buttons.length);
    const tread = named(elements, 'left, tread, inside').props;
    // As SVG knows it: with a capital it is another attribute, and nothing takes the focus.
    expect(tread.tabindex).toBe(0);
    (tread.onClick as () => void)();
    const press = named(elements, 'right, channel line, outside').props.onKeyDown as (event: unknown) => void;
    const prevented: string[] = [];
    for (const key of ['Enter', ' ', 'Tab']) press({ key, preventDefault: () => prevented.push(key) });
    expect(prevented).toEqual(['Enter', ' ']);
    const channel = { zone: 'bottom-edge-line', shoe: 'right', side: 'outside' };
    expect(picked).toEqual([{ zone: 'bottom-tread-inside', shoe: 'left', side: null }, channel, channel]);
  });

  test('without buttons nothing takes focus, and the zones keep their names', () => {
    const elements = drawnBy(<ShoeOutline view="outside" marks={[]} />);
    expect(elements.filter(({ props }) => 'tabindex' in props || props.role === 'button')).toEqual([]);
    expect(elements.filter(({ tag }) => tag === 'title').map(({ text }) => text)).toContain(
      'right, quarter, outside',
    );
  });

  test('says from where it is seen, which shoe is which, and which edge is which', () => {
    const words = drawnBy(<ShoeOutline view="bottom" marks={[]} />)
      .filter(({ tag }) => tag === 'text')
      .map(({ text, props }) => [text, Number(props.x)] as const)
      .sort((a, b) => a[1] - b[1]);
    expect(words.map(([word]) => word)).toEqual([
      'inside',
      'L',
      // Between the two, and for both: from below the outsides face each other.
      'outside',
      'seen from below',
      'R',
      'inside',
    ]);
  });
});

/** Where a tablet of 1280 by 800 shows a view beside a pair's card, measured there. */
const BESIDE_THE_CARD = { width: 412, height: 250 };

test.each(['bottom', 'inside', 'outside'] as const)(
  'the word that tells the sides apart is read at arm’s length on the bench, %s',
  (view) => {
    const { width, height } = DRAWINGS[view];
    const shown = Math.min(BESIDE_THE_CARD.width / width, BESIDE_THE_CARD.height / height);
    const words = drawnBy(<ShoeOutline view={view} marks={[]} />).filter(
      ({ tag, text }) => tag === 'text' && /inside|outside/.test(text),
    );
    expect(words.length).toBe(view === 'bottom' ? 3 : 1);
    for (const { props } of words) expect(Number(props['font-size']) * shown).toBeGreaterThanOrEqual(20);
  },
);

describe('marks', () => {
  const crowd = Array.from({ length: 7 }, (_, index) => ({
    id: `n${index}`,
    shoe: 'left' as const,
    zone: 'bottom-heel-back',
    weight: WEIGHTS[index % WEIGHTS.length] ?? ('mind' as const),
    number: index + 1,
  }));

  test.each(VIEWS)('%s: seven in one zone stay inside the picture and none hides another', (view) => {
    const zone = view === 'bottom' ? 'bottom-heel-back' : 'upper-counter';
    const spots = spotsOf(
      view,
      crowd.map((mark) => ({ ...mark, zone })),
    );
    const reach = MARK_REACH * DRAWINGS[view].scale;
    spots.forEach(({ at }, index) => {
      expect(at.x).toBeGreaterThan(reach);
      expect(at.y).toBeLessThan(DRAWINGS[view].height - reach);
      for (const other of spots.slice(index + 1)) {
        expect(Math.hypot(at.x - other.at.x, at.y - other.at.y)).toBeGreaterThan(2 * reach);
      }
    });
  });

  test('the same marks always stand in the same places', () => {
    expect(spotsOf('bottom', crowd)).toEqual(spotsOf('bottom', crowd));
  });

  test('a mark alone stands at its zone’s centre', () => {
    const [spot] = spotsOf('bottom', crowd.slice(0, 1));
    expect(
      Math.hypot((spot?.at.x ?? 0) - (spot?.home.x ?? 0), (spot?.at.y ?? 0) - (spot?.home.y ?? 0)),
    ).toBeLessThan(2);
  });

  test('a mark that this view cannot place stands by its shoe’s letter and says so', () => {
    const marks = [
      { id: 'a', shoe: 'right', zone: null, weight: 'ask', number: 1 },
      { id: 'b', shoe: 'right', zone: 'inside-seat', weight: 'stop', number: 2 },
    ] as const;
    const elements = drawnBy(<ShoeOutline view="bottom" marks={marks} />);
    named(elements, 'Ask 1: right, no place on this drawing');
    named(elements, 'Stop 2: right, no place on this drawing');
    for (const { at } of spotsOf('bottom', marks))
      expect(at.x).toBeGreaterThan(DRAWINGS.bottom.place.right.x);
  });

  test('each is named with its weight, number and zone', () => {
    const marks = [{ id: 'a', shoe: 'both', zone: 'upper-quarter', weight: 'mend', number: 3 }] as const;
    const elements = drawnBy(<ShoeOutline view="inside" marks={marks} />);
    named(elements, 'Mend 3: left, quarter, inside');
    named(elements, 'Mend 3: right, quarter, inside');
  });

  test('weights differ by shape, not by colour alone: disc, square, diamond, octagon', () => {
    const shapes = WEIGHTS.map((weight) => {
      const elements = drawnBy(<WeightMark weight={weight} label="4" size={40} />);
      const shape = elements.find(({ tag }) => tag === 'circle' || tag === 'polygon');
      const corners = String(shape?.props.points ?? '')
        .split(' ')
        .filter(Boolean)
        .map((corner) => corner.split(',').map(Number));
      const onAxis = corners.some(([x, y]) => Math.abs(x ?? 0) < 0.01 || Math.abs(y ?? 0) < 0.01);
      return [weight, shape?.tag, corners.length, onAxis];
    });
    expect(shapes).toEqual([
      ['mind', 'circle', 0, false],
      ['mend', 'polygon', 4, false],
      ['ask', 'polygon', 4, true],
      ['stop', 'polygon', 8, false],
    ]);
  });

  test('in a list a mark is named by its weight and label', () => {
    named(drawnBy(<WeightMark weight="stop" label="12" size={40} />), 'Stop 12');
    named(drawnBy(<WeightMark weight="mind" size={40} />), 'Mind');
  });
});

/** Even-odd rule. */
function holds(
  points: readonly { readonly x: number; readonly y: number }[],
  at: { readonly x: number; readonly y: number },
): boolean {
  return points.reduce((inside, one, index) => {
    const next = points[(index + 1) % points.length] ?? one;
    const crosses = one.y > at.y !== next.y > at.y;
    return crosses && at.x < one.x + ((next.x - one.x) * (at.y - one.y)) / (next.y - one.y)
      ? !inside
      : inside;
  }, false);
}
