/**
 * The bar at the foot: the one line that rules the page. What it says follows from the view alone, so that it can be
 * tested as a table.
 */
import { actions, bench, broken, troubles } from '../../words/bench.ts';
import type { Acts } from './acts.ts';
import { type Bar, bar, rackName, readyButtons, toBench } from './bar-parts.ts';
import { cardBar } from './card-bar.ts';
import { hintBar } from './hint-bar.ts';
import type { View } from './screen.ts';

export function barOf(view: View): Bar {
  if (view.unrecorded !== null) {
    return bar('stop', troubles[view.unrecorded] ?? bench.nobodyOn, [
      { label: actions.tryAgain, act: (acts) => acts.tryAgain(), strong: true },
      { label: actions.giveUp, act: (acts) => acts.giveUp() },
    ]);
  }
  if (view.hint !== null) return hintBar(view.hint, view);
  const { screen } = view;
  switch (screen.is) {
    case 'starting':
      return bar('calm', { says: 'Starting', next: '' });
    case 'broken':
      return bar('stop', broken[screen.trouble] ?? bench.nobodyOn);
    case 'enrol':
      return bar(
        screen.state === 'waiting' || screen.state === 'asking' ? 'calm' : 'mind',
        bench.enrol[screen.state],
      );
    case 'nobody-on':
      return bar('calm', bench.nobodyOn);
    case 'ready':
      return readyBar(view);
    case 'rack':
      return rackBar(screen, view);
    case 'settings':
      return bar('calm', { says: 'Bench settings', next: '' }, view.stages.length > 0 ? [toBench] : []);
    case 'card':
      return cardBar(screen.card, view);
  }
}

function readyBar(view: View): Bar {
  const buttons = readyButtons(view);
  return view.finding
    ? bar('mind', bench.finding, buttons)
    : bar('calm', bench.ready(view.open.length), buttons);
}

function rackBar({ rack, pairs }: Extract<View['screen'], { is: 'rack' }>, view: View): Bar {
  const can = (what: 'clock-in' | 'clock-out') => pairs.some((pair) => pair.can === what);
  return bar('calm', bench.rack(rackName(view, rack), pairs.length), [
    ...(can('clock-in') ? [{ label: actions.rackIn, act: (acts: Acts) => acts.rackIn(), strong: true }] : []),
    ...(can('clock-out')
      ? [{ label: actions.rackOut, act: (acts: Acts) => acts.rackOut(), strong: true }]
      : []),
    toBench,
  ]);
}
