/** The desk as it runs in one window: its ledger, its talk with the server, its office, and who is at it. */
import type { Placed } from '../domain/fold/order.ts';
import type { OperativeId, PairId } from '../domain/ids.ts';
import { DeviceClock } from '../tablet/device/clock.ts';
import { askForLastingStorage } from '../tablet/device/durable-storage.ts';
import { newRecordId } from '../tablet/device/ids.ts';
import type { IdbLedger } from '../tablet/ledger/idb-ledger.ts';
import { type Enrolment, LedgerFailure, type LedgerTrouble } from '../tablet/ledger/ledger.ts';
import { fetchPhoto } from '../tablet/photos/fetch-photo.ts';
import { photoServer } from '../tablet/photos/photo-server.ts';
import { preparePhoto } from '../tablet/photos/prepare.ts';
import { type RunningSync, startSync } from '../tablet/start-sync.ts';
import type { SyncStatus } from '../tablet/sync/status.ts';
import type { Answer, DeskApi, Trouble } from './api.ts';
import { AtDesk } from './at-desk.ts';
import { DESK_LOCK, openDeskLedger, Slots } from './desk-store.ts';
import type { KeptPicture } from './logging/keep-photo.ts';
import type { Office } from './office.ts';
import { OfficeLedger } from './office-ledger.ts';
import type { Timers } from './pace.ts';
import { type SetUp, setUpOf } from './set-up.ts';

/** `moved`: set up before desks had a ledger; `records-wait`: see `enrol`. */
export type SetUpWhy = Trouble | 'moved' | null;

export type DeskState =
  | { readonly is: 'starting' }
  | { readonly is: 'unusable'; readonly trouble: LedgerTrouble }
  | { readonly is: 'not-set-up'; readonly why: SetUpWhy }
  | { readonly is: 'open'; readonly office: Office; readonly setUp: SetUp };

export type EnrolTrouble = Trouble | 'keeps-nothing' | 'records-wait';

/** With these the key is of no use here, and the desk is set up again. */
const SHUT_OUT: readonly string[] = ['no-key', 'key-revoked', 'wrong-site', 'not-allowed'];
const TICK_MS = 10_000;

export class RunningDesk {
  readonly #api: DeskApi;
  readonly #timers: Timers;
  readonly #onState: (state: DeskState) => void;
  readonly #ledger: IdbLedger = openDeskLedger();
  readonly #clock = new DeviceClock();
  readonly #slots = new Slots(() => localStorage);
  readonly #at: AtDesk;
  readonly #closing = new AbortController();
  /** Made once for each photograph that is shown, for as long as the window is open. */
  readonly #photoUrls = new Map<string, string>();
  #office: OfficeLedger | null = null;
  #sync: RunningSync | null = null;
  #ticking: ReturnType<typeof setInterval> | undefined;

  constructor(api: DeskApi, timers: Timers, onState: (state: DeskState) => void) {
    this.#api = api;
    this.#timers = timers;
    this.#onState = onState;
    this.#at = new AtDesk(new Slots(() => sessionStorage), timers, (operative) =>
      this.#office?.seat(operative),
    );
  }

  async start(): Promise<void> {
    await this.#usable(async () => {
      const { enrolment, book, offsets } = await this.#ledger.settings();
      this.#clock.recall(offsets);
      const setUp = enrolment === null || book === null ? null : setUpOf(enrolment, book);
      if (enrolment === null || book === null || setUp === null) {
        this.#onState({ is: 'not-set-up', why: this.#slots.oldDesk ? 'moved' : null });
        return;
      }
      void askForLastingStorage();
      const parts = {
        ledger: this.#ledger,
        wall: () => this.#clock.wall(),
        newId: () => newRecordId(),
        timers: this.#timers,
        wakeSync: () => this.#sync?.wake(),
        onOffice: (office: Office) => this.#onState({ is: 'open', office, setUp }),
        onTrouble: ({ trouble }: LedgerFailure) => this.#onState({ is: 'unusable', trouble }),
      };
      const upTo = this.#slots.reached;
      this.#office = new OfficeLedger(parts, enrolment, { book, at: this.#at.operative, upTo });
      this.#onState({ is: 'open', office: this.#office.office, setUp });
      this.#sync = startSync(
        this.#ledger,
        this.#clock,
        enrolment,
        (status) => this.#heard(status),
        DESK_LOCK,
      );
      this.#ticking = setInterval(() => this.#tick(), TICK_MS);
      await this.#office.start();
    });
  }

  /**
   * Spends a set-up code. While records wait for the server that the desk belonged to, it stays what it is: under
   * another key they could not be sent any more.
   */
  async enrol(token: string): Promise<Answer<null> | { readonly ok: false; readonly trouble: EnrolTrouble }> {
    const { lasting, room } = await askForLastingStorage();
    if (room === 'tiny' || !(await this.#keeps())) return { ok: false, trouble: 'keeps-nothing' };
    const { enrolment: before } = await this.#ledger.settings();
    if ((await this.#ledger.outbox()).waiting > 0) return { ok: false, trouble: 'records-wait' };
    const answer = await this.#api.enrol(token, lasting === 'cannot-say' ? null : lasting === 'lasting');
    if (!answer.ok) return answer;
    const { site, dataset, bench, place, name, key, lane, book } = answer.value;
    const enrolment: Enrolment = { site, dataset, bench, place, name, key, lane };
    this.stop();
    if (before !== null && before.dataset !== dataset) await this.#ledger.startAnew();
    await this.#ledger.remember({ enrolment, book, stages: [], ticketCounter: 0 });
    this.#slots.forgetOldDesk();
    void this.start();
    return { ok: true, value: null };
  }

  /** Who is at the desk from now on; null for nobody. */
  seat(operative: OperativeId | null): void {
    if (operative === null) this.#at.leave();
    else this.#at.take(operative);
  }

  /** Somebody touched something. */
  stir(): void {
    this.#at.stir();
  }

  /** All that the desk holds of one pair. */
  readonly recordsOf = (pair: PairId): Promise<readonly Placed[]> => this.#ledger.recordsOfPair(pair);

  /** Makes a photograph of a picked file and keeps it, for the server too. @throws LedgerFailure when it is not kept */
  readonly keepPhoto = async (file: Blob): Promise<KeptPicture> => {
    const prepared = await preparePhoto(file);
    if (prepared.is !== 'photo') return prepared;
    const { photo, bytes, type } = prepared;
    const { ms, offsetMs } = this.#clock.wall();
    await this.#ledger.photos.keep(prepared, ms + offsetMs);
    this.#sync?.wake();
    return { is: 'kept', photo, bytes, type };
  };

  /** Where a photograph can be shown from: kept here, or fetched from the server; null where it is not to be had. */
  readonly photoUrl = async (photo: string): Promise<string | null> => {
    const known = this.#photoUrls.get(photo);
    if (known !== undefined) return known;
    const { enrolment } = await this.#ledger.settings();
    if (enrolment === null) return null;
    const { key, site } = enrolment;
    const now = () => this.#clock.now();
    const server = photoServer({ base: location.origin, key, site, fetch: fetch.bind(globalThis), now });
    const came = await fetchPhoto({ photos: this.#ledger.photos, server, now }, photo, this.#closing.signal);
    if (came.is !== 'photo') return null;
    const url = URL.createObjectURL(came.photo.blob);
    this.#photoUrls.set(photo, url);
    return url;
  };

  /** Ends all that runs; `start` runs it again. */
  stop(): void {
    clearInterval(this.#ticking);
    this.#sync?.stop();
    this.#office?.stop();
    this.#sync = null;
    this.#office = null;
  }

  /** As `stop`, for good. */
  close(): void {
    this.stop();
    this.#closing.abort();
    for (const url of this.#photoUrls.values()) URL.revokeObjectURL(url);
    this.#at.stop();
    this.#ledger.close();
  }

  #heard({ server, lastExchangeAt }: SyncStatus): void {
    if (lastExchangeAt !== null) {
      this.#slots.noteReached(lastExchangeAt);
      this.#office?.reached(lastExchangeAt);
    }
    const why = server.is === 'paused' && SHUT_OUT.includes(server.why) ? server.why : null;
    const shutOut: Trouble | null = server.is === 'stopped' ? 'other-data' : why;
    if (shutOut === null) return;
    this.stop();
    this.#onState({ is: 'not-set-up', why: shutOut });
  }

  /** Another window may be the one that talks to the server. */
  #tick(): void {
    const { reached } = this.#slots;
    if (reached !== null) this.#office?.reached(reached);
    this.#office?.tick();
  }

  async #keeps(): Promise<boolean> {
    try {
      await this.#ledger.remember({ cameraId: null });
      return true;
    } catch (cause) {
      if (cause instanceof LedgerFailure) return false;
      throw cause;
    }
  }

  async #usable(work: () => Promise<void>): Promise<void> {
    try {
      await work();
    } catch (cause) {
      if (!(cause instanceof LedgerFailure)) throw cause;
      this.#onState({ is: 'unusable', trouble: cause.trouble });
    }
  }
}
