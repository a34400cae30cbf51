/** The way between one tablet and the servers, and what befalls a message on it. */
import { Chance } from './chance.ts';
import type { Mishap, Plan, Weather } from './plan.ts';
import type { Scheduler } from './scheduler.ts';
import type { Answered, Asked, ServerHouse } from './server-house.ts';
import type { Story } from './story.ts';

export interface RoadParts {
  readonly who: string;
  readonly bench: number;
  readonly plan: Plan;
  readonly scheduler: Scheduler;
  readonly story: Story;
  readonly house: ServerHouse;
  readonly start: number;
  readonly count: (fault: string) => void;
}

const MINUTE_MS = 60_000;
const HOURS_MS = 5 * 60 * MINUTE_MS;
const SIGN_IN_PAGE = '<!doctype html><title>Welcome to the guest network</title>';

export class Road {
  readonly #parts: RoadParts;
  readonly #weathers: readonly Extract<Mishap, { is: 'road' }>[];
  #messages = 0;

  constructor(parts: RoadParts) {
    this.#parts = parts;
    this.#weathers = parts.plan.mishaps.filter(
      (one) => one.is === 'road' && one.bench === parts.bench,
    ) as never;
  }

  /** Whether the tablet itself says that it has a network. */
  get maybeOnline(): boolean {
    return !this.#weatherNow().some(({ weather }) => weather === 'off-line');
  }

  /** For the tablet's loop, in place of the browser's. */
  readonly fetch = (input: URL, init: RequestInit): Promise<Response> => {
    const { scheduler, plan, who, story } = this.#parts;
    this.#messages += 1;
    const luck = new Chance(`${plan.seed} ${who} message ${this.#messages}`);
    const headers = new Headers(init.headers);
    if (plan.packed) headers.set('accept-encoding', 'gzip');
    const asked: Asked = { url: input, method: init.method ?? 'GET', headers, body: init.body ?? null };
    const weather = this.#weatherNow().find(({ share }) => luck.happens(share))?.weather ?? null;
    if (weather !== null) {
      story.tell(who, `${asked.method} ${input.pathname}: ${weather}`);
      this.#parts.count(weather);
    }
    return scheduler.outside<Response>((resolve, reject) => {
      init.signal?.addEventListener('abort', () => reject(new DOMException('aborted', 'AbortError')));
      this.#send(asked, weather, luck, (answered) => {
        if (answered.is === 'answer') resolve(responseOf(answered));
        else reject(new TypeError('fetch failed'));
      });
    });
  };

  #send(asked: Asked, weather: Weather | null, luck: Chance, answer: (answered: Answered) => void): void {
    const { scheduler, house } = this.#parts;
    const soon = () => luck.whole(5, 200);
    const later = () =>
      Math.min(luck.whole(20_000, HOURS_MS), this.#untilHealed() + luck.whole(0, MINUTE_MS));
    const goes = (ms: number, then: (answered: Answered) => void) => {
      scheduler.after(ms, () => house.take(asked, then));
    };
    const comes = (ms: number) => (answered: Answered) => {
      scheduler.after(ms, () => answer(answered));
    };
    const instead = (status: number, text: string, headers: Record<string, string> = {}) =>
      comes(soon())({ is: 'answer', status, headers: new Headers(headers), text });
    const nowhere = () => undefined;
    switch (weather) {
      case null:
        goes(soon(), comes(soon()));
        break;
      case 'off-line':
        comes(1)({ is: 'no-server' });
        break;
      case 'requests-lost':
        break;
      case 'answers-lost':
        goes(soon(), nowhere);
        break;
      case 'doubled':
        goes(soon(), comes(soon()));
        goes(later(), nowhere);
        break;
      case 'delayed':
        if (luck.happens(0.5)) goes(later(), comes(soon()));
        else goes(soon(), comes(later()));
        break;
      case 'sign-in-page':
        instead(200, SIGN_IN_PAGE, { 'content-type': 'text/html' });
        break;
      case 'bad-gateway':
        if (luck.happens(0.5)) instead(502, 'bad gateway');
        else goes(soon(), () => instead(504, 'timeout'));
        break;
      case 'busy':
        instead(429, '{}', { 'retry-after': String(luck.whole(1, 120)) });
        break;
      case 'too-large':
        instead(413, 'too large');
        break;
    }
  }

  #weatherNow(): readonly Extract<Mishap, { is: 'road' }>[] {
    const at = this.#parts.scheduler.now - this.#parts.start;
    return this.#weathers.filter((one) => one.at <= at && at < one.until);
  }

  #untilHealed(): number {
    const { scheduler, start, plan } = this.#parts;
    return Math.max(0, start + plan.healAt - scheduler.now);
  }
}

function responseOf({ status, headers, text }: Extract<Answered, { is: 'answer' }>): Response {
  const given = new Headers(headers);
  given.delete('content-encoding');
  given.delete('content-length');
  return new Response(text, { status, headers: given });
}
