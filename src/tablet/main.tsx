/** The composition root of bench and desk: the one place that makes ledger, sync, scanner and clock and joins them. */
import '../parts/look.css';
import './bench.css';
import { render } from 'preact';
import type { Acts, CameraView } from './app/acts.ts';
import { BenchApp } from './app/bench-app.ts';
import type { KeptPhoto } from './app/note-acts.ts';
import { PairActs } from './app/pair-acts.ts';
import type { EnrolOutcome, ServerLink } from './app/screen.ts';
import { hintOfTrouble } from './app/trouble-hint.ts';
import { aloneOnThisTablet } from './device/alone.ts';
import { DeviceClock } from './device/clock.ts';
import { hashOfCode } from './device/code-hash.ts';
import { askForLastingStorage } from './device/durable-storage.ts';
import { askToEnrol } from './device/enrol.ts';
import { newRecordId } from './device/ids.ts';
import { pickPicture } from './device/pick-picture.ts';
import type { AppUpdate } from './device/update.ts';
import { keepScreenOn } from './device/wake-lock.ts';
import { IdbLedger } from './ledger/idb-ledger.ts';
import { LedgerFailure } from './ledger/ledger.ts';
import { LEDGER_CHANNEL } from './ledger/notices.ts';
import { BenchPage } from './pages/bench-page.tsx';
import { checkList, choices, rackPage, reminders, settingsPage, shoes } from './parts/later-parts.ts';
import type { Camera } from './scan/camera.ts';
import type { CameraState } from './scan/camera-state.ts';
import { openScanner } from './scan/scanner.ts';
import { mayFollowSetUpLink, setUpCodeIn } from './set-up-link.ts';
import type { RunningSync } from './start-sync.ts';
import type { ServerState, SyncStatus } from './sync/status.ts';

declare const __VERSION__: string;

const TICK_MS = 1_000;

const root = document.getElementById('app');
if (root === null) throw new Error('the page has no place for the app');
let updates: AppUpdate | null = null;
const updatesWatched = import('./device/update.ts').then(({ watchForUpdates }) => {
  updates = watchForUpdates('/sw.js');
  return updates;
});
if (/^\/desk(\/|$)/.test(location.pathname)) void openDesk(root);
else openBench(root);

async function openDesk(at: HTMLElement): Promise<void> {
  const { mountDesk } = await import('../desk/desk.tsx');
  mountDesk(at);
}

function openBench(at: HTMLElement): void {
  const ledger = new IdbLedger({ channel: channel() });
  const clock = new DeviceClock();
  let sync: RunningSync | null = null;
  let syncTurn = 0;
  let camera: Camera | null = null;
  let cameraView: CameraView = { is: 'off', lamp: 'none', decoder: null };
  let rememberedCamera: string | null = null;

  const app = new BenchApp(ledger, {
    wall: () => clock.wall(),
    newId: () => newRecordId(),
    codeHash: hashOfCode,
    enrol: enrolHere,
    wakeSync: () => sync?.wake(),
    fetchPair: (pair) => sync?.fetchPair(pair) ?? Promise.resolve(false),
    photosWaiting: async () => (await ledger.photos.counts()).waiting,
    alone: aloneOnThisTablet,
  });
  const pairs = new PairActs(app);
  const scanner = openScanner({
    pattern: () => app.view.book?.ticketPattern ?? null,
    onScan: ({ text, source }) => void app.scan(text, source),
    onTrouble: (trouble) => {
      const hint = hintOfTrouble(trouble);
      if (hint !== null) app.show({ hint });
    },
    choice: {
      remembered: () => rememberedCamera,
      remember: (cameraId) => {
        rememberedCamera = cameraId;
        void ledger.remember({ cameraId });
      },
    },
    // A bench looks at its camera all day: a tap to wake it would cost more than the power.
    idleOffMs: null,
    onDecoder: (decoder) => showCamera({ decoder }),
  });

  const acts: Acts = {
    seen: (note) => void pairs.begin.seen(note),
    cured: (note) => void pairs.later().then(({ notes }) => notes.cured(note)),
    looked: () => void pairs.begin.looked(),
    finish: () => void pairs.end.finish(),
    notFinished: () => void pairs.end.notFinished(),
    forgotten: (was) => void pairs.end.forgotten(was),
    setAside: (reason) => void pairs.end.setAside(reason),
    sendBack: (back) => void pairs.end.sendBack(back),
    undo: () => void pairs.end.undo(),
    nextStage: () => void pairs.begin.nextStage(),
    choose: (choosing) => void pairs.end.choose(choosing),
    openPair: (pair) => void pairs.end.open(pair),
    answer: (answer) => void pairs.begin.answer(answer),
    late: (why) => void pairs.begin.late(why),
    letThrough: (why) => void pairs.begin.letThrough(why),
    notNeeded: (stage) => void pairs.begin.notNeeded(stage),
    needed: () => void pairs.begin.needed(),
    machineBack: (stage) => void pairs.begin.machineBack(stage),
    release: (why) => void pairs.begin.release(why),
    part: (shoe) => void pairs.end.part(shoe),
    machineStopped: (why) => void pairs.end.machineStopped(why),
    note: (note) => void pairs.later().then(({ notes }) => notes.note(note)),
    askPicture: () =>
      pickPicture((file) => void pairs.later().then(({ notes }) => notes.picture(file, keepPhoto))),
    tick: (what) => void pairs.later().then(({ close }) => close.tick(what)),
    tagByEye: () => void pairs.later().then(({ close }) => close.tag('by-eye')),
    pass: (why) => void pairs.later().then(({ close }) => close.pass(why)),
    box: (why) => void pairs.later().then(({ close }) => close.box(why)),
    allDone: () => void pairs.later().then(({ many }) => many.allDone()),
    rackIn: () => void pairs.later().then(({ many }) => many.rackIn()),
    rackOut: () => void pairs.later().then(({ many }) => many.rackOut()),
    finding: (finding) => void app.tap(() => app.find(finding)),
    foundThis: () => void pairs.end.foundThis(),
    leave: () => void pairs.end.leave(),
    tryAgain: () => void app.tap(() => app.retry()),
    giveUp: () => void app.tap(() => app.forgetUnrecorded()),
    keypad: (keypadOpen) => app.show({ keypadOpen, hint: null }),
    typed: (text) => {
      app.show({ keypadOpen: false });
      scanner.type(text);
    },
    settings: () =>
      void app.tap(() => app.show({ screen: { is: 'settings' }, hint: null, keypadOpen: false })),
    setStages: (stages) => void app.tap(() => app.setStages(stages)),
    updateNow: () => updates?.apply(),
    startCamera: () => camera?.restart(),
    lamp: (on) => camera?.setTorch(on),
    cameraElement: (video) => {
      camera?.stop();
      camera =
        video === null ? null : scanner.openCamera(video, (state) => showCamera(cameraStateView(state)));
    },
  };

  const outbox = async () => {
    const { enrolment } = app;
    if (enrolment === null) throw new Error('a tablet that is not set up has no outbox');
    const { outboxHere } = await import('./outbox-here.ts');
    return outboxHere(ledger, enrolment, () => app.now());
  };
  const draw = () =>
    render(
      <BenchPage view={app.view} acts={acts} camera={cameraView} version={__VERSION__} outbox={outbox} />,
      at,
    );
  const showCamera = (change: Partial<CameraView>) => {
    cameraView = { ...cameraView, ...change };
    draw();
  };

  // The window that talks to the server learns the clock's offset; the others read what it remembered.
  ledger.watch((pairs) => {
    if (pairs.length === 0) void ledger.settings().then(({ offsets }) => clock.recall(offsets));
  });
  app.watch(draw);
  draw();
  void updatesWatched.then((watched) =>
    watched.watch((state) => app.show({ updateReady: state === 'ready' })),
  );
  keepScreenOn();
  setInterval(() => {
    app.tick();
    // A new version is taken only while nobody is on and nothing is half done.
    if (app.view.updateReady && app.view.screen.is === 'nobody-on' && app.view.unrecorded === null)
      updates?.apply();
  }, TICK_MS);
  for (const { load } of [reminders, shoes, settingsPage, choices, checkList, rackPage]) void load();
  void pairs.later();
  void askForLastingStorage().then(({ lasting }) => app.storageKnown(lasting));
  void begin();

  async function begin(): Promise<void> {
    // An old window may hold the store. Each try gives it a while to close, so this one goes on by itself after it.
    do {
      // Before anything is looked up by time, since the tablet's clock may be days off. A store in trouble says so on the
      // screen as the app starts; it must not keep records from being sent once it can be read again.
      await ledger.settings().then(({ offsets, cameraId }) => {
        clock.recall(offsets);
        rememberedCamera = cameraId;
      }, otherThanFailure);
      await app.start();
    } while (app.view.screen.is === 'broken' && app.view.screen.trouble === 'blocked-by-old-window');
    syncFrom();
    const offered = setUpCodeIn(location.hash);
    if (offered !== null) {
      // The code must not stay in the address, the history or a bookmark.
      history.replaceState(null, '', location.pathname);
      if (mayFollowSetUpLink(app.view, app.enrolment !== null)) app.show({ screen: { is: 'settings' } });
      await app.scan(offered, 'typed');
    }
  }

  function syncFrom(): void {
    const { enrolment } = app;
    if (enrolment === null) return;
    sync?.stop();
    syncTurn += 1;
    const turn = syncTurn;
    // Not needed for the first scan: a record waits in the outbox until this part is here.
    void import('./start-sync.ts').then(({ startSync }) => {
      if (turn !== syncTurn) return;
      sync = startSync(ledger, clock, enrolment, (status) => app.linkChanged(linkOf(status)));
    });
  }

  async function enrolHere(token: string): Promise<EnrolOutcome> {
    const { lasting, room } = await askForLastingStorage();
    // A private window forgets everything when it is closed, the records that wait for the server with it.
    if (room === 'tiny') return { is: 'keeps-nothing' };
    const reply = await askToEnrol(token, lasting === 'cannot-say' ? null : lasting === 'lasting');
    if (reply.is !== 'enrolled') return reply;
    const { site, dataset, bench, place, name, stages, lane, key, book } = reply.answer;
    queueMicrotask(syncFromWhenSettled);
    return {
      is: 'enrolled',
      settings: {
        enrolment: { site, dataset, bench, place, name, key, lane },
        stages,
        book,
        ticketCounter: 0,
      },
    };
  }

  /** Made small, kept on this tablet, and only then named by a record. */
  async function keepPhoto(file: Blob): Promise<KeptPhoto> {
    const { preparePhoto } = await import('./photos/prepare.ts');
    const prepared = await preparePhoto(file);
    if (prepared.is !== 'photo') return prepared;
    const { photo, bytes, type } = prepared;
    try {
      await ledger.photos.keep(prepared, app.now());
    } catch (cause) {
      if (cause instanceof LedgerFailure) return { is: 'not-kept' };
      throw cause;
    }
    return { is: 'kept', photo, bytes, type };
  }

  function syncFromWhenSettled(): void {
    void app.settled().then(syncFrom);
  }
}

function otherThanFailure(cause: unknown): void {
  if (!(cause instanceof LedgerFailure)) throw cause;
}

function channel() {
  return typeof BroadcastChannel === 'undefined' ? null : new BroadcastChannel(LEDGER_CHANNEL);
}

function cameraStateView(state: CameraState): Pick<CameraView, 'is' | 'lamp'> {
  const lamp = state.kind === 'live' && state.torch !== 'absent' ? state.torch : 'none';
  return { is: state.kind, lamp };
}

function linkOf({ server, lastExchangeAt }: SyncStatus): ServerLink {
  return { is: server.is, why: whyOf(server), lastAt: lastExchangeAt };
}

function whyOf(server: ServerState): string | null {
  return 'why' in server ? server.why : null;
}
