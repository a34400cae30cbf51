/** What people do at a bench: they look at the screen, badge on where it does not name them, and scan. */
import type { PairId } from '../../src/domain/ids.ts';
import { HOUR_MS } from '../../src/domain/instant.ts';
import type { Answer } from '../../src/tablet/app/acts.ts';
import type { Chance } from './chance.ts';
import type { Deed, Tap } from './plan.ts';
import type { Register } from './register.ts';
import type { Story } from './story.ts';
import type { Running, Tablet } from './tablet.ts';
import type { HandWithBadge, Template } from './template.ts';

export interface AtBench {
  readonly tablet: Tablet;
  readonly template: Template;
  readonly story: Story;
  readonly register: Register;
  readonly chance: Chance;
}

/** Resolves when the deed is done, or never where the tablet is killed in the middle of it. */
export async function perform(deed: Deed, at: AtBench): Promise<void> {
  const { tablet, template, story } = at;
  const { running } = tablet;
  const hand = template.hands[deed.hand];
  const pair = template.pairs[deed.pair];
  if (running === null || hand === undefined || pair === undefined) return;
  // Two people do not scan at one tablet at the same time: the second one waits until the first has gone.
  const passesOn = deed.does === 'scan-and-pass-on';
  if (running.at.deeds > 0 && (running.at.hand !== deed.hand || passesOn || running.at.passesOn)) return;
  running.at.hand = deed.hand;
  running.at.deeds += 1;
  // Who hands the bench over does nothing else there meanwhile, whatever its screen still says.
  running.at.passesOn = passesOn;
  story.tell(tablet.name, `${hand.name} means to ${deed.does} ${pair}`);
  await performAs(hand, pair, deed, running, at);
  running.at.deeds -= 1;
  running.at.passesOn = false;
}

async function performAs(
  hand: HandWithBadge,
  pair: PairId,
  deed: Deed,
  running: Running,
  at: AtBench,
): Promise<void> {
  const { template, chance } = at;
  const { app } = running;
  if (app.view.screen.is === 'broken') return startAnew(at);
  if (app.view.unrecorded !== null) await tryAgain(at, running);
  if (deed.does === 'badge') return scan(at, running, hand.badge);
  if (!(await badgedOn(at, running, hand))) return;
  switch (deed.does) {
    case 'scan':
      await scanTicket(at, running, hand, pair);
      return answerCard(running, chance);
    case 'scan-twice':
      await Promise.all([scanTicket(at, running, hand, pair), scanTicket(at, running, hand, pair)]);
      return answerCard(running, chance);
    case 'scan-and-pass-on': {
      const next = template.hands[(deed.hand + 1) % template.hands.length] ?? hand;
      await Promise.all([scanTicket(at, running, hand, pair), scan(at, running, next.badge)]);
      return;
    }
    case 'wait-an-hour':
      return quiet(at, running);
    default:
      await scanTicket(at, running, hand, pair);
      await answerCard(running, chance);
      return tap(at, running, hand, pair, deed.does);
  }
}

/** A screen that says that the tablet is broken: it is switched off and on. */
function startAnew({ tablet, story }: AtBench): void {
  story.tell(tablet.name, 'is switched off and on, as its screen asks');
  tablet.kill();
}

async function tryAgain({ chance, story, tablet }: AtBench, { app }: Running): Promise<void> {
  if (chance.happens(0.8)) return guarded(() => app.tap(() => app.retry()));
  story.tell(tablet.name, 'what could not be recorded is given up');
  return guarded(() => app.tap(() => app.forgetUnrecorded()));
}

async function badgedOn(at: AtBench, running: Running, hand: HandWithBadge): Promise<boolean> {
  const { app } = running;
  if (app.view.on?.id === hand.operative) return true;
  await scan(at, running, hand.badge);
  return app.view.on?.id === hand.operative && app.view.unrecorded === null;
}

async function scanTicket(at: AtBench, running: Running, hand: HandWithBadge, pair: PairId): Promise<void> {
  await asHand(running, hand, pair, () => scan(at, running, pair));
}

/** Whatever is made about the pair meanwhile is this hand's. */
async function asHand(
  { hands, app }: Running,
  { operative }: HandWithBadge,
  pair: PairId,
  does: () => Promise<void>,
): Promise<void> {
  // Only what the hand has seen: her own name on the screen, and no act of somebody else's that still waits.
  const seen = app.view.on?.id === operative && app.view.unrecorded === null;
  if (!seen) return does();
  const before = hands.get(pair) ?? new Set();
  hands.set(pair, new Set([...before, operative]));
  await does();
  hands.delete(pair);
}

/** What the card offers besides *yes*. */
const ANSWERS: Readonly<Record<string, readonly Answer[]>> = {
  'open-by-another': ['yes', 'take-on', 'beside'],
  parted: ['yes', 'together'],
  'which-shoe': ['left', 'right', 'together'],
};

/** Questions and notes that stand before the work are answered as hands answer them. */
async function answerCard({ app, acts }: Running, chance: Chance): Promise<void> {
  for (let turn = 0; turn < 4; turn += 1) {
    const { screen } = app.view;
    if (screen.is !== 'card') return;
    const { moment } = screen.card;
    if (moment.is === 'asked') {
      const answer = chance.of(ANSWERS[moment.question.ask] ?? (['yes'] as const));
      await guarded(() => acts.begin.answer(answer));
    } else if (moment.is === 'see-notes') {
      for (const { note } of moment.unseen) await guarded(() => acts.begin.seen(note.id));
    } else if (moment.is === 'reminders') {
      await guarded(() => acts.begin.looked());
    } else return;
  }
}

async function tap(
  at: AtBench,
  running: Running,
  hand: HandWithBadge,
  pair: PairId,
  does: Tap,
): Promise<void> {
  const { app, acts } = running;
  const { screen, stages, on } = app.view;
  if (screen.is !== 'card' || on?.id !== hand.operative) return;
  const stage = stages[0] ?? screen.card.stage;
  const taps: Record<Tap, () => Promise<void>> = {
    finish: () => acts.end.finish(),
    'not-finished': () => acts.end.notFinished(),
    'set-aside': () => acts.end.setAside('waiting for thread'),
    undo: () => acts.end.undo(),
    'send-back': () =>
      acts.end.sendBack({
        to: stage,
        shoe: 'both',
        fault: null,
        reason: 'seam open at the waist',
        again: [],
      }),
    note: async () =>
      (await acts.later()).notes.note({
        shoe: 'left',
        zone: 'opened-rib',
        side: null,
        defect: null,
        weight: 'mind',
        text: 'rib was stuck again',
        seeAt: [],
        cureAt: [],
      }),
  };
  at.story.tell(at.tablet.name, `${hand.name} taps ${does}`);
  await asHand(running, hand, pair, () => guarded(taps[does]));
}

/** Nobody comes for more than an hour, by the tablet's own clock. */
async function quiet({ tablet }: AtBench, { app }: Running): Promise<void> {
  tablet.stepClock(HOUR_MS + 60_000, 0);
  await guarded(() => app.tap(() => app.tick()));
}

/** A scan that ends in a broken screen is part of the story; anything else that breaks is found. */
async function scan({ register, tablet }: AtBench, { app }: Running, text: string): Promise<void> {
  try {
    await app.scan(text, 'wedge');
  } catch (cause) {
    register.violate(
      'no app breaks',
      `${tablet.name}: ${cause instanceof Error ? cause.stack : String(cause)}`,
    );
  }
}

/** The app shows a failing store on the screen and does not throw; a tap whose card is gone is void. */
function guarded(does: () => Promise<void>): Promise<void> {
  return does();
}
