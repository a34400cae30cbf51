/** Runs one plan from its beginning, through its faults, until everything has come to rest, and looks at what is so. */
import { issueTicket } from '../../src/domain/code.ts';
import { cursorAt } from '../../src/domain/cursor.ts';
import { draft } from '../../src/domain/drafts.ts';
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import { MONDAY_8 } from '../support/builders.ts';
import { MemoryStore } from '../support/memory-ledger.ts';
import { type BrokenBuild, SOUND } from './broken-build.ts';
import { Chance } from './chance.ts';
import { Disk } from './faulty-store.ts';
import { perform } from './hands.ts';
import { lookAtAll } from './invariants.ts';
import type { Deed, Mishap, Plan } from './plan.ts';
import { Register } from './register.ts';
import { Road } from './road.ts';
import { Scheduler } from './scheduler.ts';
import { ServerHouse } from './server-house.ts';
import { Story } from './story.ts';
import { badRecord, Tablet } from './tablet.ts';
import type { Template } from './template.ts';

/** What every run stands on. */
export interface Ground {
  readonly template: Template;
  readonly folder: string;
}

export interface Outcome {
  readonly plan: Plan;
  readonly violations: readonly string[];
  readonly story: Story;
  readonly records: number;
  readonly requests: number;
  readonly events: number;
  /** How long after the last fault everything was at rest, in virtual milliseconds. */
  readonly settledMs: number;
  readonly faults: ReadonlyMap<string, number>;
}

/** Nobody waits longer than this: the longest back-off, pause or passing over, and then a round or two. */
export const SETTLED_WITHIN_MS = 30 * 60_000;
const LOOK_EVERY_MS = 20_000;
const BACKLOG_FROM_MS = 60_000;
const BACKLOG_BATCH = 200;
const BACKLOG_EVERY_MS = 30 * 60_000;
/** Messages that were delayed arrive at the latest so long after the faults are over. */
const LATE_MS = 70_000;

export function runPlan(plan: Plan, ground: Ground, broken: BrokenBuild = SOUND): Promise<Outcome> {
  return new FleetRun(plan, ground, broken).run();
}

class FleetRun {
  readonly #plan: Plan;
  readonly #ground: Ground;
  readonly #broken: BrokenBuild;
  readonly #scheduler = new Scheduler(MONDAY_8);
  readonly #story = new Story(() => this.#scheduler.now);
  readonly #register = new Register();
  readonly #house: ServerHouse;
  readonly #tablets: Tablet[] = [];
  readonly #copies = new Map<Mishap, Disk | Buffer>();
  readonly #faults = new Map<string, number>();

  constructor(plan: Plan, ground: Ground, broken: BrokenBuild) {
    this.#plan = plan;
    this.#ground = ground;
    this.#broken = broken;
    this.#house = new ServerHouse({
      plan,
      broken,
      scheduler: this.#scheduler,
      story: this.#story,
      register: this.#register,
      folder: ground.folder,
      count: (fault) => this.#count(fault),
      onNews: () => this.#tellNews(),
    });
  }

  async run(): Promise<Outcome> {
    const { template } = this.#ground;
    try {
      await this.#house.open(template.database);
      for (let bench = 0; bench < this.#plan.benches; bench += 1) {
        const { enrolment, book, stages } = this.#benchOf(bench);
        const store = new MemoryStore();
        store.settings = { ...store.settings, enrolment, book, stages };
        this.#add(`tablet ${bench + 1}`, bench, new Disk(store)).start();
      }
      for (const deed of this.#plan.deeds) this.#at(deed.at, () => this.#do(deed));
      for (const mishap of this.#plan.mishaps) this.#schedule(mishap);
      if (this.#plan.backlog > 0) this.#at(BACKLOG_FROM_MS, () => void this.#makeBacklog());
      await this.#scheduler.run(MONDAY_8 + this.#plan.healAt);
      const settledMs = await this.#heal();
      const { revoked } = this.#house.head();
      await lookAtAll({
        register: this.#register,
        house: this.#house,
        tablets: this.#tablets,
        isRevoked: ({ parts }) => revoked.has(parts.enrolment.bench),
        isLost: (id, bench) => this.#register.mayBeLost.has(id) || revoked.has(bench),
        pairs: template.pairs.slice(0, this.#plan.pairs),
        broken: this.#broken,
      });
      return this.#outcome(settledMs);
    } finally {
      for (const tablet of this.#tablets) tablet.end();
      this.#house.close();
    }
  }

  #outcome(settledMs: number): Outcome {
    return {
      plan: this.#plan,
      violations: this.#register.violations,
      story: this.#story,
      records: this.#register.made.size,
      requests: this.#house.requests,
      events: this.#scheduler.events,
      settledMs,
      faults: this.#faults,
    };
  }

  #benchOf(bench: number) {
    const found = this.#ground.template.benches[bench];
    if (found === undefined) throw new RangeError(`there is no bench ${bench}`);
    return found;
  }

  #add(name: string, bench: number, disk: Disk): Tablet {
    const common = {
      plan: this.#plan,
      scheduler: this.#scheduler,
      story: this.#story,
      start: MONDAY_8,
      bench,
      count: (fault: string) => this.#count(fault),
    };
    const road = new Road({ ...common, who: name, house: this.#house });
    const { enrolment } = this.#benchOf(bench);
    const parts = { ...common, name, road, enrolment, register: this.#register, broken: this.#broken };
    const tablet = new Tablet(parts, disk);
    this.#tablets.push(tablet);
    return tablet;
  }

  #at(ms: number, run: () => void): void {
    this.#scheduler.after(MONDAY_8 + ms - this.#scheduler.now, run);
  }

  #count(fault: string): void {
    this.#faults.set(fault, (this.#faults.get(fault) ?? 0) + 1);
  }

  #atBench(bench: number): readonly Tablet[] {
    return this.#tablets.filter(({ parts }) => parts.bench === bench);
  }

  #do(deed: Deed): void {
    const tablet =
      this.#atBench(deed.bench)[deed.device] ?? (deed.device === 1 ? undefined : this.#tablets[0]);
    if (tablet === undefined) return;
    const { template } = this.#ground;
    const chance = new Chance(`${this.#plan.seed} deed at ${deed.at} by ${deed.hand} at ${deed.bench}`);
    const deedAt = { tablet, template, story: this.#story, register: this.#register, chance };
    perform(deed, deedAt).catch((cause: unknown) => {
      const text = cause instanceof Error ? cause.stack : String(cause);
      this.#register.violate('no app breaks', `${tablet.name}, ${deed.does}: ${text}`);
    });
  }

  /** Weeks of work at a bench without a network, of which only the records matter here. */
  async #makeBacklog(): Promise<void> {
    const [tablet] = this.#tablets;
    const running = tablet?.running;
    const [hand] = this.#ground.template.hands;
    if (tablet === undefined || running == null || hand === undefined) return;
    await running.app.scan(hand.badge, 'wedge');
    const { lane } = tablet.parts.enrolment;
    for (let made = 0, counter = 0; made < this.#plan.backlog; made += BACKLOG_BATCH) {
      const drafts = Array.from({ length: BACKLOG_BATCH }, () => {
        const { pair, next } = issueTicket(lane, counter);
        counter = next;
        return draft(running.app.making(hand.operative), 'found-here', { pair });
      });
      await running.ledger.commit(drafts);
      await this.#scheduler.sleep(BACKLOG_EVERY_MS);
    }
  }

  #schedule(mishap: Mishap): void {
    if (mishap.is === 'tablet-set-back')
      this.#at(mishap.copyAt, () => {
        const [tablet] = this.#atBench(mishap.bench);
        if (tablet !== undefined) this.#copies.set(mishap, tablet.disk.copy());
      });
    if (mishap.is === 'server-restored')
      this.#at(mishap.backupAt, () => this.#copies.set(mishap, this.#house.backup()));
    this.#at(mishap.at, () => this.#befall(mishap));
  }

  #befall(mishap: Mishap): void {
    const [tablet] = 'bench' in mishap ? this.#atBench(mishap.bench) : [];
    if (mishap.is === 'server-restored') void this.#restore(this.#copies.get(mishap));
    else if (mishap.is === 'server-killed') this.#house.killAt(mishap.process, mishap.statements);
    else if (tablet !== undefined) this.#befallTablet(mishap, tablet);
  }

  #befallTablet(mishap: Mishap, tablet: Tablet): void {
    switch (mishap.is) {
      case 'other-build':
        this.#story.tell(tablet.name, `runs another build: ${mishap.writes}`);
        break;
      case 'tablet-killed':
        tablet.running?.life.endAt(mishap.calls, mishap.when);
        break;
      case 'clock':
        this.#count('clock');
        this.#story.tell(tablet.name, `its clock goes ${mishap.stepMs} ms, drifting ${mishap.driftPpm} ppm`);
        tablet.stepClock(mishap.stepMs, mishap.driftPpm);
        break;
      case 'revoked':
        this.#count('revoked');
        this.#story.tell('office', `revokes ${tablet.name}`);
        void this.#house.revoke(tablet.parts.enrolment.bench);
        break;
      case 'bad-record':
        this.#leaveBadRecord(tablet);
        break;
      case 'tablet-doubled':
        this.#double(tablet);
        break;
      case 'tablet-set-back':
        this.#setBack(tablet, this.#copies.get(mishap));
        break;
    }
  }

  /** A fault of some app: a record that no server can take lies in the outbox among the others. */
  #leaveBadRecord(tablet: Tablet): void {
    const own = this.#register.madeAt(tablet.parts.enrolment.bench);
    const like = own.find(({ id, json }) => tablet.disk.store.records.has(id) && json.includes('"pair":'));
    if (like === undefined) return;
    this.#count('bad-record');
    const { store } = tablet.disk;
    const { bench } = like;
    const seq = Math.max(store.highest.get(bench) ?? 0, store.used.get(bench) ?? 0) + 1;
    const id = like.id.replace(/^.{8}/, '00000bad');
    const raw = badRecord(JSON.parse(like.json) as LedgerRecord, seq, id);
    store.keep(id, { raw, pos: null, epoch: null });
    store.highest.set(bench, seq);
    store.outbox.set(id, { record: raw as LedgerRecord, state: 'waiting', reasons: [] });
    this.#register.bad.add(id);
    this.#story.tell(tablet.name, `a bad record ${seq} lies in its outbox`);
  }

  /** A second tablet begins with a copy of all that is on this one, its key among it. */
  #double(tablet: Tablet): void {
    if (this.#atBench(tablet.parts.bench).length > 1) return;
    this.#count('tablet-doubled');
    this.#story.tell(tablet.name, 'is copied whole to a second tablet');
    const disk = tablet.disk.copy();
    tablet.disk.on = undefined;
    this.#add(`${tablet.name} bis`, tablet.parts.bench, disk).start();
  }

  /** The tablet is as it was at the time of a copy; what only it held since is gone. */
  #setBack(tablet: Tablet, copy: Disk | Buffer | undefined): void {
    if (!(copy instanceof Disk)) return;
    this.#count('tablet-set-back');
    const held = new Set(this.#house.held().rows.map(({ id }) => id));
    const lost = [...tablet.disk.store.records.keys()].filter((id) => !copy.store.records.has(id));
    const gone = lost.filter((id) => this.#register.made.has(id) && !held.has(id));
    for (const id of gone) this.#register.mayBeLost.add(id);
    this.#story.tell(
      tablet.name,
      `is set back to a copy: ${lost.length} records fewer, ${gone.length} of them nowhere else`,
    );
    tablet.end();
    for (const other of this.#atBench(tablet.parts.bench)) other.disk.on = undefined;
    tablet.disk = copy.copy();
    tablet.start();
  }

  async #restore(backup: Disk | Buffer | undefined): Promise<void> {
    if (!Buffer.isBuffer(backup)) return;
    this.#count('server-restored');
    const before = this.#house.held().rows;
    await this.#house.restore(backup);
    const after = new Set(this.#house.held().rows.map(({ id }) => id));
    const forgot = before.filter(({ id }) => !after.has(id));
    const kept = (id: string, bench: string) =>
      this.#tablets.some(({ parts, disk }) => parts.enrolment.bench === bench && disk.store.records.has(id));
    const gone = forgot.filter(({ id, bench }) => !kept(id, bench));
    for (const { id } of gone) this.#register.mayBeLost.add(id);
    this.#story.tell('server', `has forgotten ${forgot.length} records, ${gone.length} of them for good`);
  }

  #tellNews(): void {
    if (!this.#plan.live) return;
    for (const tablet of this.#tablets) {
      this.#scheduler.after(30, () => {
        if (tablet.parts.road.maybeOnline) tablet.running?.loop?.wake('live');
      });
    }
  }

  /** Faults are over; everybody who can comes to rest. */
  async #heal(): Promise<number> {
    this.#story.tell('all', 'the faults are over');
    await this.#house.heal();
    for (const tablet of this.#tablets) {
      tablet.healed = true;
      tablet.running?.life.endAt(Infinity, 'before');
      if (tablet.running !== null) this.#retry(tablet);
    }
    const healedAt = this.#scheduler.now;
    // Whoever has just asked hears of what comes after that when it asks again.
    const until = healedAt + SETTLED_WITHIN_MS + 2 * this.#plan.restMs;
    const lookEveryMs = Math.max(LOOK_EVERY_MS, this.#plan.restMs / 20);
    for (;;) {
      await this.#scheduler.run(this.#scheduler.now + lookEveryMs);
      for (const tablet of this.#tablets) if (tablet.running?.app.view.screen.is === 'broken') tablet.kill();
      const open = this.#unsettled();
      const elapsed = this.#scheduler.now - healedAt;
      if (open.length === 0 && elapsed > LATE_MS) return elapsed;
      if (this.#scheduler.now < until) continue;
      this.#register.violate('nobody waits for ever', open.join('; '));
      return elapsed;
    }
  }

  #retry({ running }: Tablet): void {
    const app = running?.app;
    if (app?.view.unrecorded == null) return;
    app.tap(() => app.retry()).catch(() => undefined);
  }

  #unsettled(): readonly string[] {
    const { epoch, pos, revoked } = this.#house.head();
    const head = cursorAt({ epoch, pos });
    return this.#tablets.flatMap(({ name, disk, running, parts }) => {
      if (running === null) return [`${name} is off`];
      if (revoked.has(parts.enrolment.bench)) {
        const { server } = running.loop?.status ?? { server: { is: 'not-tried' } };
        return server.is === 'paused' ? [] : [`${name} is revoked and has not noticed: ${server.is}`];
      }
      const waiting = [...disk.store.outbox.values()].filter(({ state }) => state === 'waiting').length;
      const at = disk.store.settings.cursor;
      return waiting > 0 || at !== head ? [`${name}: ${waiting} wait, has read to ${at} of ${head}`] : [];
    });
  }
}
