/** What the bar says of a scan or tap that leaves no card of its own. */
import { inGroups } from '../../domain/code.ts';
import { actions, bench } from '../../words/bench.ts';
import { shoeNames } from '../../words/names.ts';
import { refusalLine, scannerLines } from '../../words/scans.ts';
import { type Bar, type BarButton, bar, rackName, readyButtons, toBench } from './bar-parts.ts';
import type { Hint, View } from './screen.ts';

/** A hint without an act of its own hides the bar's line, never what can be done from here. */
export function hintBar(hint: Hint, view: View): Bar {
  const said = hintLine(hint, view);
  if (said.buttons.length > 0) return said;
  if (view.screen.is === 'card') return { ...said, buttons: [onCard] };
  return view.screen.is === 'ready' ? { ...said, buttons: readyButtons(view) } : said;
}

function hintLine(hint: Hint, view: View): Bar {
  const onward: readonly BarButton[] = view.screen.is === 'card' ? [onCard] : [];
  switch (hint.is) {
    case 'badged-on':
      return bar('go', bench.badgedOn(hint.name));
    case 'badged-off':
      return bar('calm', bench.badgedOff(hint.name));
    case 'handed-over':
      return bar('go', bench.handedOver(hint.from, hint.to, hint.open));
    case 'undone':
      return bar('calm', bench.undone, [toBench]);
    case 'wrong-layout':
      return bar('stop', scannerLines[hint.layout]);
    case 'scanner-keys':
    case 'scanner-cut-short':
      return bar('stop', scannerLines[hint.is]);
    case 'set-up-in-settings':
      return bar('mind', bench.setUpInSettings);
    case 'reading-in':
      return bar('mind', bench.readingIn);
    case 'several-codes':
    case 'still-in-view':
      return bar('mind', scannerLines[hint.is]);
    case 'found':
      return bar('go', bench.found(inGroups(hint.pair).join(' ')), view.finding ? [endFinding] : []);
    case 'racked':
      return bar('go', bench.racked(rackName(view, hint.rack)), [toBench]);
    case 'joined':
      return bar('go', bench.joined(hint.name), onward);
    case 'parted':
      return bar('mind', bench.parted(shoeNames[hint.shoe]), onward);
    case 'noted':
      return bar(hint.raises === 'stop' ? 'stop' : 'go', bench.noted[hint.raises], [takePicture, ...onward]);
    case 'cured':
      return bar('go', bench.cured, onward);
    case 'released':
      return bar('go', bench.released, onward);
    case 'pictured':
      return bar('go', bench.pictured, onward);
    case 'no-picture':
      return bar('stop', bench.noPicture[hint.why], [takePicture, ...onward]);
    case 'machine-stopped':
      return bar('stop', bench.machineStopped, onward);
    case 'machine-back':
      return bar('go', bench.machineBack, onward);
    case 'many':
      return bar(hint.left === 0 ? 'go' : 'mind', bench.many(hint.did, hint.pairs, hint.left), [toBench]);
    case 'refused':
      return refusedBar(hint, view);
  }
}

/** Puts the hint away and leaves the card as it stands. */
const onCard: BarButton = { label: actions.onward, act: (acts) => acts.choose(null) };
const endFinding: BarButton = { label: actions.endFinding, act: (acts) => acts.finding(false) };
const takePicture: BarButton = { label: actions.photograph, act: (acts) => acts.askPicture() };

function refusedBar({ why }: Extract<Hint, { is: 'refused' }>, view: View): Bar {
  const calm = why.is === 'badge-first' || why.is === 'not-set-up' || why.is === 'own-badge';
  const typeIt: BarButton = { label: actions.typeIt, act: (acts) => acts.keypad(true) };
  return bar(
    calm ? 'mind' : 'stop',
    refusalLine(why, view.book?.ask ?? 'the supervisor'),
    why.is === 'damaged' ? [typeIt] : [],
  );
}
