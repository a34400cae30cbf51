/** What a tap does, as the bench page hands it to its parts; the device's own buttons do nothing here. */
import type { Acts } from '../../src/tablet/app/acts.ts';
import type { BenchApp } from '../../src/tablet/app/bench-app.ts';
import type { PairActs } from '../../src/tablet/app/pair-acts.ts';

export function tapsOf({ app, acts }: { readonly app: BenchApp; readonly acts: PairActs }): Acts {
  const nothing = () => {};
  return {
    seen: (note) => void acts.begin.seen(note),
    cured: (note) => void acts.later().then(({ notes }) => notes.cured(note)),
    looked: () => void acts.begin.looked(),
    finish: () => void acts.end.finish(),
    notFinished: () => void acts.end.notFinished(),
    setAside: (reason) => void acts.end.setAside(reason),
    sendBack: (back) => void acts.end.sendBack(back),
    undo: () => void acts.end.undo(),
    forgotten: (was) => void acts.end.forgotten(was),
    nextStage: () => void acts.begin.nextStage(),
    choose: (choosing) => void acts.end.choose(choosing),
    openPair: (pair) => void acts.end.open(pair),
    answer: (answer) => void acts.begin.answer(answer),
    late: (why) => void acts.begin.late(why),
    letThrough: (why) => void acts.begin.letThrough(why),
    notNeeded: (stage) => void acts.begin.notNeeded(stage),
    needed: () => void acts.begin.needed(),
    machineBack: (stage) => void acts.begin.machineBack(stage),
    release: (why) => void acts.begin.release(why),
    part: (shoe) => void acts.end.part(shoe),
    machineStopped: (why) => void acts.end.machineStopped(why),
    note: (note) => void acts.later().then(({ notes }) => notes.note(note)),
    askPicture: nothing,
    tick: (what) => void acts.later().then(({ close }) => close.tick(what)),
    tagByEye: () => void acts.later().then(({ close }) => close.tag('by-eye')),
    pass: (why) => void acts.later().then(({ close }) => close.pass(why)),
    box: (why) => void acts.later().then(({ close }) => close.box(why)),
    allDone: () => void acts.later().then(({ many }) => many.allDone()),
    rackIn: () => void acts.later().then(({ many }) => many.rackIn()),
    rackOut: () => void acts.later().then(({ many }) => many.rackOut()),
    finding: (finding) => void app.tap(() => app.find(finding)),
    foundThis: () => void acts.end.foundThis(),
    leave: () => void acts.end.leave(),
    tryAgain: () => void app.tap(() => app.retry()),
    giveUp: () => void app.tap(() => app.forgetUnrecorded()),
    keypad: (keypadOpen) => app.show({ keypadOpen, hint: null }),
    typed: nothing,
    settings: () => void app.tap(() => app.show({ screen: { is: 'settings' }, hint: null })),
    setStages: (stages) => void app.tap(() => app.setStages(stages)),
    updateNow: nothing,
    startCamera: nothing,
    lamp: nothing,
    cameraElement: nothing,
  };
}
