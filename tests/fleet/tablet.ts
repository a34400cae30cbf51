/** One tablet: its disk, its clock, its way to the servers, and the app that runs on it until it is killed. */
import { codeHash } from '../../src/domain/code-hash.ts';
import type { OperativeId, PairId, RecordId } from '../../src/domain/ids.ts';
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import { UUID_RANDOM_BYTES, uuidv7 } from '../../src/domain/uuid.ts';
import { BenchApp } from '../../src/tablet/app/bench-app.ts';
import { LaterActs } from '../../src/tablet/app/later-acts.ts';
import { PairActs } from '../../src/tablet/app/pair-acts.ts';
import { DeviceClock } from '../../src/tablet/device/clock.ts';
import {
  type Enrolment,
  LedgerFailure,
  type LedgerTrouble,
  type TabletLedger,
} from '../../src/tablet/ledger/ledger.ts';
import { httpServer } from '../../src/tablet/sync/http-server.ts';
import { SyncLoop } from '../../src/tablet/sync/loop.ts';
import type { Server } from '../../src/tablet/sync/server.ts';
import { MemoryLedger } from '../support/memory-ledger.ts';
import type { AroundTablet, BrokenBuild } from './broken-build.ts';
import { Chance } from './chance.ts';
import { type Disk, faultyStore } from './faulty-store.ts';
import { Life } from './life.ts';
import { otherBuild } from './other-builds.ts';
import type { Mishap, Plan } from './plan.ts';
import type { Register } from './register.ts';
import type { Road } from './road.ts';
import { never, type Scheduler } from './scheduler.ts';
import type { Story } from './story.ts';

export interface TabletParts {
  readonly name: string;
  readonly bench: number;
  readonly enrolment: Enrolment;
  readonly plan: Plan;
  readonly scheduler: Scheduler;
  readonly story: Story;
  readonly register: Register;
  readonly road: Road;
  readonly broken: BrokenBuild;
  readonly start: number;
  readonly count: (fault: string) => void;
}

/** What runs on a tablet between two kills. */
export interface Running {
  readonly app: BenchApp;
  readonly acts: PairActs;
  readonly life: Life;
  readonly ledger: TabletLedger;
  /** Whose scan of which pair is under way. */
  readonly hands: Map<PairId, Set<OperativeId>>;
  /** Who is at the tablet, with how many deeds at once, and whether it is being handed over. */
  readonly at: { hand: number; deeds: number; passesOn: boolean };
  readonly stop: AbortController;
  loop: SyncLoop | null;
}

const LATEST_MS = 2 ** 48 - 1;

export class Tablet {
  readonly parts: TabletParts;
  disk: Disk;
  running: Running | null = null;
  #skew = { ms: 0, ppm: 0, since: 0 };
  #starts = 0;
  #ids: Chance;
  /** All faults are over. */
  healed = false;

  constructor(parts: TabletParts, disk: Disk) {
    this.parts = parts;
    this.disk = disk;
    this.#ids = new Chance(`${parts.plan.seed} ids of ${parts.name}`);
    this.#skew = { ...this.#skew, since: parts.scheduler.now };
  }

  get name(): string {
    return this.parts.name;
  }

  /** What its clock says; it may say anything. */
  reading(): number {
    const { now } = this.parts.scheduler;
    const { ms, ppm, since } = this.#skew;
    return Math.round(now + ms + ((now - since) * ppm) / 1e6);
  }

  stepClock(stepMs: number, driftPpm: number): void {
    const { now } = this.parts.scheduler;
    this.#skew = { ms: this.reading() - Math.round(now) + stepMs, ppm: driftPpm, since: now };
  }

  start(): void {
    const { parts, disk } = this;
    const { scheduler, register, broken, plan, name } = parts;
    this.#starts += 1;
    const chance = new Chance(`${plan.seed} ${name} start ${this.#starts}`);
    const life = new Life(() => this.#died());
    const around: AroundTablet = {
      scheduler,
      alive: () => life.alive,
      store: disk.store,
      newId: () => this.#newId(),
    };
    const memory = new MemoryLedger(disk.store);
    const hands = new Map<PairId, Set<OperativeId>>();
    const faulty = faultyStore(broken.store?.(memory, around) ?? memory, {
      ...parts,
      who: name,
      disk,
      life,
      chance,
      msMax: plan.storeMs,
      trouble: () => this.#trouble(chance),
      handsOn: (pair) => hands.get(pair) ?? new Set(),
      asBuilt: (record) => otherBuild(record, this.#build()),
    });
    const ledger = broken.ledger?.(faulty, around) ?? faulty;
    const clock = new DeviceClock(() => this.reading());
    const app = new BenchApp(ledger, {
      wall: () => clock.wall(),
      newId: () => this.#newId(),
      codeHash: async (token) => codeHash(token),
      enrol: async () => ({ is: 'no-server' }),
      wakeSync: () => this.running?.loop?.wake('record'),
    });
    const acts = new PairActs(app, async () => ({ LaterActs }));
    const running: Running = {
      app,
      acts,
      life,
      ledger,
      hands,
      at: { hand: 0, deeds: 0, passesOn: false },
      stop: new AbortController(),
      loop: null,
    };
    this.running = running;
    ledger.watch((pairs) => {
      if (pairs.length > 0) return;
      ledger.settings().then(
        ({ offsets }) => clock.recall(offsets),
        () => undefined,
      );
    });
    const begin = async () => {
      await ledger.settings().then(({ offsets }) => clock.recall(offsets), otherThanFailure);
      await app.start();
      running.loop = new SyncLoop({
        ledger,
        server: this.#server(clock, around, ledger),
        enrolment: parts.enrolment,
        clock,
        sleep: broken.sleep?.(this.#sleeping(life), plan.restMs) ?? this.#sleeping(life),
        random: () => chance.next(),
        restMs: () => plan.restMs,
      });
      running.loop.watch(({ server, lastExchangeAt }) =>
        app.linkChanged({ is: server.is, why: 'why' in server ? server.why : null, lastAt: lastExchangeAt }),
      );
      await running.loop.run(running.stop.signal);
    };
    begin().catch((cause: unknown) => {
      // A store that fails while the app starts leaves a screen that says so; somebody starts it again.
      if (life.alive && app.view.screen.is !== 'broken')
        register.violate('no app breaks', `${name}: ${cause instanceof Error ? cause.stack : String(cause)}`);
    });
  }

  /** The power goes, now. */
  kill(): void {
    this.running?.life.end();
  }

  /** Switched off for good; nothing is said of it. */
  end(): void {
    const { running } = this;
    this.running = null;
    running?.stop.abort();
    running?.life.end();
  }

  #died(): void {
    const { scheduler, plan, broken, count } = this.parts;
    if (this.running === null) return;
    this.running = null;
    count('tablet-killed');
    this.disk.store.listeners.clear();
    broken.lostWithPower?.(this.disk.store, scheduler.now);
    const chance = new Chance(`${plan.seed} ${this.name} rest after start ${this.#starts}`);
    const { disk } = this;
    scheduler.after(chance.whole(200, 60_000), () => {
      if (this.running === null && this.disk === disk) this.startAgain();
    });
  }

  startAgain(): void {
    this.parts.story.tell(this.name, 'is switched on');
    this.start();
  }

  #server(clock: DeviceClock, around: AroundTablet, ledger: TabletLedger): Server {
    const { scheduler, road, broken, enrolment } = this.parts;
    const real = httpServer({
      base: 'https://bench.aldermoor.example',
      key: enrolment.key,
      site: enrolment.site,
      fetch: road.fetch as typeof fetch,
      now: () => clock.now(),
      maybeOnline: () => road.maybeOnline,
      after: (ms, then) =>
        scheduler.after(ms, () => {
          if (around.alive()) then();
        }),
    });
    const asks = async <Made>(does: () => Promise<Made>): Promise<Made> => {
      const life = this.running?.life;
      const step = life?.step();
      if (life === undefined || !life.alive) return never();
      if (step === 'dies-before') life.end();
      const made = life.alive ? await scheduler.work(does) : await never<Made>();
      if (step === 'dies-after') life.end();
      return life.alive ? made : never();
    };
    const server: Server = {
      push: (records, signal) => asks(() => real.push(records, signal)),
      pull: (after, signal) => asks(() => real.pull(after, signal)),
      site: (signal) => asks(() => real.site(signal)),
    };
    return broken.server?.(server, ledger, around) ?? server;
  }

  #sleeping(life: Life) {
    return async (ms: number, signal: AbortSignal): Promise<void> => {
      await this.parts.scheduler.sleep(ms, signal);
      return life.alive ? undefined : never();
    };
  }

  #newId(): RecordId {
    const ms = Math.min(Math.max(this.reading(), 0), LATEST_MS);
    return uuidv7(ms, this.#ids.bytes(UUID_RANDOM_BYTES));
  }

  #trouble(chance: Chance): LedgerTrouble | null {
    if (this.healed) return null;
    const found = this.#mishapsNow('store-fails').find(({ share }) => chance.happens(share));
    if (found !== undefined) this.parts.count('store-fails');
    return found?.trouble ?? null;
  }

  #build(): Extract<Mishap, { is: 'other-build' }>['writes'] | null {
    const at = this.parts.scheduler.now - this.parts.start;
    const builds = this.parts.plan.mishaps.filter((one) => one.is === 'other-build');
    return builds.findLast((one) => one.bench === this.parts.bench && one.at <= at)?.writes ?? null;
  }

  #mishapsNow<Is extends 'store-fails'>(is: Is): readonly Extract<Mishap, { is: Is }>[] {
    const at = this.parts.scheduler.now - this.parts.start;
    return this.parts.plan.mishaps.filter(
      (one): one is Extract<Mishap, { is: Is }> =>
        one.is === is && one.bench === this.parts.bench && one.at <= at && at < one.until,
    );
  }
}

function otherThanFailure(cause: unknown): void {
  if (!(cause instanceof LedgerFailure)) throw cause;
}

/** A record of no version, as a fault of an app that nobody has found yet could leave it in the outbox. */
export function badRecord(like: LedgerRecord, seq: number, id: string): unknown {
  return { ...like, id, seq, pair: 'no ticket' };
}
