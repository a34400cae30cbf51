/** The header while records wait: calm at first; after hours, while somebody is on, by shape, word and colour at once. */
import { isValidElement, type VNode } from 'preact';
import { expect, test } from 'vitest';
import type { Acts } from '../../src/tablet/app/acts.ts';
import type { View } from '../../src/tablet/app/screen.ts';
import { Header, LATE_MS } from '../../src/tablet/parts/header.tsx';
import { INES, MONDAY_8, siteBook } from '../support/builders.ts';

const ON = { id: INES, name: 'Ines Okafor' };

function headerFor(waitedMs: number | null, on: View['on'] = ON, waiting = 3) {
  const outbox = { waiting, oldestAt: waitedMs === null ? null : MONDAY_8 - waitedMs, refused: 0 };
  const view = {
    outbox,
    on,
    now: MONDAY_8,
    book: siteBook(),
    open: [],
    doneThisShift: 0,
    screen: { is: 'ready' },
    stages: [],
    benchName: 'Welting',
  } as unknown as View;
  const kept = find(Header({ view, acts: {} as Acts }), (node) =>
    String(node.props.class).startsWith('kept'),
  );
  const path = find(kept, (node) => node.type === 'path');
  return {
    class: kept?.props.class,
    says: String(kept?.props['aria-label']),
    shape: path?.props.d,
    stroke: path?.props.stroke,
  };
}

type Node = VNode<Record<string, unknown>>;

function find(node: unknown, wanted: (node: Node) => boolean): Node | undefined {
  if (Array.isArray(node)) return node.map((one) => find(one, wanted)).find((found) => found !== undefined);
  if (!isValidElement(node)) return undefined;
  const element = node as Node;
  return wanted(element) ? element : find(element.props.children, wanted);
}

test('records that have not waited long are a calm matter', () => {
  const { class: name, says } = headerFor(LATE_MS - 1);
  expect(name).toBe('kept');
  expect(says).not.toContain('Tell the supervisor');
});

test('records that have waited too long change shape, word and colour together', () => {
  const [calm, late] = [headerFor(LATE_MS - 1), headerFor(LATE_MS)];
  expect(late.class).toBe('kept late');
  expect(late.says).toContain('Tell the supervisor');
  expect(late.shape).not.toBe(calm.shape);
  expect(late.stroke).not.toBe(calm.stroke);
});

test('nobody is asked to tell anybody while nobody is on, or while nothing waits', () => {
  expect(headerFor(LATE_MS * 2, null).class).toBe('kept');
  expect(headerFor(null, ON, 0).class).toBe('kept');
});
