/** Routes as a site may come to have them: in an odd order, with needs that lead nowhere or round in a ring. */
import { expect, test } from 'vitest';
import { asStageCode } from '../../src/domain/ids.ts';
import { dueNow, missingBefore, type Route, redoFrom, routeOf } from '../../src/domain/route.ts';

const [CUT, SEW, WAX, BOX] = ['CUT', 'SEW', 'WAX', 'BOX'].map((code) => asStageCode(code)) as [
  ReturnType<typeof asStageCode>,
  ReturnType<typeof asStageCode>,
  ReturnType<typeof asStageCode>,
  ReturnType<typeof asStageCode>,
];
const step = (stage: typeof CUT, after: readonly (typeof CUT)[]) => ({
  stage,
  need: 'always' as const,
  after,
  usuallyAfter: [],
});

test('what is done again is found whatever the order in which the stages are written', () => {
  const backwards: Route = [step(BOX, [WAX]), step(WAX, [SEW]), step(SEW, [CUT]), step(CUT, [])];
  expect([...redoFrom(backwards, CUT)].toSorted()).toEqual([BOX, CUT, SEW, WAX]);
  expect([...redoFrom(backwards, WAX)].toSorted()).toEqual([BOX, WAX]);
});

test('a need that is not on the route is missed by nobody', () => {
  const route: Route = [step(CUT, []), step(SEW, [CUT, BOX])];
  expect(missingBefore(route, SEW, new Set())).toEqual([CUT]);
  expect(dueNow(route, new Set([CUT]))).toEqual([SEW]);
});

test('a ring of stages that are left out is gone round once', () => {
  const hard = (stage: typeof CUT, needs: typeof CUT) => ({ stage, needs, kind: 'hard' as const });
  const route = routeOf(
    [
      { stage: CUT, need: 'always' },
      { stage: SEW, need: 'never' },
      { stage: WAX, need: 'never' },
      { stage: BOX, need: 'always' },
    ],
    [hard(BOX, SEW), hard(SEW, WAX), hard(WAX, SEW), hard(WAX, CUT)],
  );
  expect(route.find(({ stage }) => stage === BOX)?.after).toEqual([CUT]);
});
