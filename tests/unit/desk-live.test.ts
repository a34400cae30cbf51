import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { type DeskApi, deskApi } from '../../src/desk/api.ts';
import {
  LiveDesk,
  type LiveView,
  POLL_EVERY_MS,
  reopenAfterMs,
  serverTime,
} from '../../src/desk/live-desk.ts';
import type { Timers } from '../../src/desk/pace.ts';
import type { SetUp } from '../../src/desk/set-up.ts';
import { asBenchId, asSiteId, asStageCode } from '../../src/domain/ids.ts';

const BOOK = {
  site: 'aldermoor',
  name: 'Aldermoor Bench',
  timeZone: 'Europe/London',
  version: 1,
  ticketPattern: null,
  ask: 'Ines Okafor, supervisor',
  closingStage: 'BOX',
  stages: [],
  operatives: [{ id: 'o1', name: 'Tam Brereton', role: 'hand' }],
  badges: [],
  benches: [],
  shifts: [],
};
const SET_UP: SetUp = {
  site: asSiteId('aldermoor'),
  dataset: 'aldermoor-1',
  desk: asBenchId('desk-1'),
  name: 'Office desk',
  key: '0f'.repeat(32),
  facts: { name: BOOK.name, timeZone: BOOK.timeZone, closingStage: asStageCode('BOX'), version: 1 },
};
const ENROLLED = {
  site: 'aldermoor',
  dataset: 'aldermoor-1',
  bench: 'desk-1',
  place: 'desk',
  name: 'Office desk',
  stages: [],
  lane: 4,
  key: '0f'.repeat(32),
  book: BOOK,
};
/** The server's clock is an hour ahead of ours. */
const AHEAD_MS = 3_600_000;
const state = (change: object = {}) => {
  const at = Date.now() + AHEAD_MS;
  const clock = { receivedAt: at, answeredAt: at };
  return { dataset: 'aldermoor-1', epoch: '0123abcd', head: '', book: 1, heldSeq: 0, clock, ...change };
};
const figures = (pairsOpen: number, change: object = {}) => ({
  state: state(change),
  shift: null,
  stages: [],
  open: [],
  pairsOpen,
  flags: [],
});
const json = (body: unknown, status = 200) => new Response(JSON.stringify(body), { status });
const never = new AbortController().signal;

describe('the desk’s questions', () => {
  const asked = async (answer: () => Response | Promise<Response>) =>
    deskApi(async () => answer()).now(SET_UP, never);

  test('carry the key, the site and the number of the wire', async () => {
    const calls: [string, Headers][] = [];
    const api = deskApi(async (url, init) => {
      calls.push([String(url), new Headers(init?.headers)]);
      return json(figures(1));
    });
    expect((await api.now(SET_UP, never)).ok).toBe(true);
    const [[url, headers] = ['', new Headers()]] = calls;
    expect(url).toBe('/api/desk/now');
    // `Bearer` and one blank before the token: RFC 6750, section 2.1.
    expect(headers.get('authorization')).toBe(`Bearer ${SET_UP.key}`);
    expect([headers.get('x-waxend-site'), headers.get('x-waxend-wire')]).toEqual(['aldermoor', '1']);
  });

  test.each([
    ['a refusal', () => json({ refused: 'key-revoked', reasons: [] }, 403), 'key-revoked'],
    ['a refusal of a newer kind', () => json({ refused: 'moon-phase', reasons: [] }, 400), 'not-understood'],
    ['somebody’s web page', () => new Response('<html>', { status: 200 }), 'not-understood'],
    ['a bad gateway', () => new Response('', { status: 502 }), 'not-understood'],
    ['figures of another shape', () => json({ pairsOpen: 'many' }), 'not-understood'],
    ['figures of other data', () => json(figures(1, { dataset: 'somebody-else' })), 'other-data'],
    ['no answer', () => Promise.reject(new TypeError('fetch failed')), 'unreachable'],
  ])('answered by %s: said, not thrown', async (_, answer, trouble) => {
    expect(await asked(answer)).toEqual({ ok: false, trouble });
  });

  test('enrolment brings identity, key, lane and book', async () => {
    const bodies: unknown[] = [];
    const api = deskApi(async (_, init) => {
      bodies.push(JSON.parse(String(init?.body)));
      return json(ENROLLED);
    });
    const answer = await api.enrol('W0CV7N3H3HYJ', true);
    expect(bodies).toEqual([{ token: 'W0CV7N3H3HYJ', persisted: true }]);
    expect(answer).toMatchObject({ ok: true, value: { bench: 'desk-1', lane: 4, book: { version: 1 } } });
  });

  test('enrolment at a site whose time zone this machine does not know is not understood', async () => {
    const api = deskApi(async () => json({ ...ENROLLED, book: { ...BOOK, timeZone: 'Moor/Bench' } }));
    expect(await api.enrol('W0CV7N3H3HYJ', null)).toEqual({ ok: false, trouble: 'not-understood' });
  });

  test('enrolment with a bench’s code is told apart', async () => {
    const api = deskApi(async () => json({ ...ENROLLED, place: 'bench' }));
    expect(await api.enrol('W0CV7N3H3HYJ', null)).toEqual({ ok: false, trouble: 'for-a-bench' });
  });
});

describe('the live stream', () => {
  const heardIn = async (parts: readonly string[], init: ResponseInit = {}) => {
    const bytes = new TextEncoder();
    const body = new ReadableStream<Uint8Array>({
      start(controller) {
        for (const part of parts) controller.enqueue(bytes.encode(part));
        controller.close();
      },
    });
    const headers = { 'content-type': 'text/event-stream; charset=utf-8' };
    const heard = { opened: 0, hints: 0 };
    await deskApi(async () => new Response(body, { headers, ...init })).listen(SET_UP, {
      signal: never,
      opened: () => {
        heard.opened += 1;
      },
      heard: () => {
        heard.hints += 1;
      },
    });
    return heard;
  };

  test('hears an event wherever the network cuts it, and no event in a comment', async () => {
    // The example of WHATWG HTML, section 9.2.6 (from memory): a comment fires nothing, three blocks fire
    // one event each, and a last block without its blank line is never fired.
    const stream =
      ': test stream\n\ndata: first event\nid: 1\n\ndata:second event\nid\n\ndata:  third event\n\n';
    expect(await heardIn([stream])).toEqual({ opened: 1, hints: 3 });
    expect(await heardIn([...stream])).toEqual({ opened: 1, hints: 3 });
    expect(await heardIn([stream.slice(0, -1)])).toEqual({ opened: 1, hints: 2 });
    expect(await heardIn([': sign of life\n\n'])).toEqual({ opened: 1, hints: 0 });
  });

  test.each([
    ['refused', { status: 403 }],
    ['of another type', { headers: { 'content-type': 'text/html' } }],
  ])('that is %s is not open', async (_, init) => {
    expect(await heardIn(['data: x\n\n'], init)).toEqual({ opened: 0, hints: 0 });
  });

  test('that breaks ends quietly', async () => {
    const listening = deskApi(async () => {
      throw new TypeError('fetch failed');
    });
    const ears = { signal: never, opened: () => undefined, heard: () => undefined };
    await expect(listening.listen(SET_UP, ears)).resolves.toBeUndefined();
  });
});

describe('the live desk', () => {
  const timers: Timers = {
    now: () => Date.now(),
    later: (run, ms) => {
      const timer = setTimeout(run, ms);
      return () => clearTimeout(timer);
    },
  };
  beforeEach(() => {
    vi.useFakeTimers({ now: 1_000_000 });
  });
  afterEach(() => {
    vi.useRealTimers();
  });

  /** A server of our own making: `down`, its figures and its stream are in the test's hands. */
  function world() {
    const server = {
      down: false,
      pairsOpen: 1,
      book: 1,
      nowAsked: 0,
      siteAsked: 0,
      listens: 0,
      streams: true,
    };
    let hint: () => void = () => undefined;
    let hangUp: () => void = () => undefined;
    const real = deskApi(async (url) => {
      if (server.down) throw new TypeError('fetch failed');
      if (url === '/api/site') {
        server.siteAsked += 1;
        return json({
          state: state({ book: server.book }),
          book: { ...BOOK, version: server.book, name: 'New name' },
        });
      }
      server.nowAsked += 1;
      return json(figures(server.pairsOpen, { book: server.book }));
    });
    const api: DeskApi = {
      ...real,
      listen: async (_, ears) => {
        server.listens += 1;
        if (server.down || !server.streams) return;
        hint = ears.heard;
        ears.opened();
        await new Promise<void>((ended) => {
          hangUp = ended;
          ears.signal.addEventListener('abort', () => ended());
        });
      },
    };
    let view: LiveView | null = null;
    const shown = () => {
      if (view === null) throw new Error('nothing was shown yet');
      return view;
    };
    const desk = new LiveDesk({
      api,
      setUp: SET_UP,
      timers,
      onView: (next) => {
        view = next;
      },
    });
    return { server, desk, shown, hint: () => hint(), hangUp: () => hangUp() };
  }

  test('shows a change within a second of its hint', async () => {
    const { server, desk, shown, hint } = world();
    desk.start();
    await vi.advanceTimersByTimeAsync(1000);
    expect(shown()).toMatchObject({ live: true, trouble: null, figures: { now: { pairsOpen: 1 } } });
    server.pairsOpen = 2;
    hint();
    await vi.advanceTimersByTimeAsync(1000);
    expect(shown().figures?.now.pairsOpen).toBe(2);
    desk.stop();
  });

  test('polls where no hints come, and tells that it does', async () => {
    const { server, desk, shown } = world();
    server.streams = false;
    desk.start();
    await vi.advanceTimersByTimeAsync(1000);
    expect(shown().live).toBe(false);
    server.pairsOpen = 7;
    await vi.advanceTimersByTimeAsync(POLL_EVERY_MS);
    expect(shown().figures?.now.pairsOpen).toBe(7);
    desk.stop();
  });

  test('keeps old figures with their age while the server is gone, and is itself again afterwards', async () => {
    const { server, desk, shown, hangUp } = world();
    desk.start();
    await vi.advanceTimersByTimeAsync(1000);
    const got = shown().figures?.now.state.clock.answeredAt ?? 0;
    server.down = true;
    hangUp();
    await vi.advanceTimersByTimeAsync(120_000);
    expect(shown()).toMatchObject({
      live: false,
      trouble: 'unreachable',
      figures: { now: { pairsOpen: 1 } },
    });
    const ageMs = serverTime(shown(), Date.now()) - got;
    expect(ageMs).toBeGreaterThanOrEqual(120_000);
    expect(ageMs).toBeLessThan(122_000);
    server.down = false;
    server.pairsOpen = 3;
    await vi.advanceTimersByTimeAsync(POLL_EVERY_MS + 1000);
    expect(shown()).toMatchObject({ live: true, trouble: null, figures: { now: { pairsOpen: 3 } } });
    desk.stop();
  });

  test('tells the server’s time, however wrong this machine’s clock is', async () => {
    const { desk, shown } = world();
    desk.start();
    await vi.advanceTimersByTimeAsync(1000);
    expect(serverTime(shown(), Date.now())).toBe(Date.now() + AHEAD_MS);
    desk.stop();
  });

  test('fetches the book again when its version changes, and only then', async () => {
    const { server, desk, shown, hint } = world();
    desk.start();
    await vi.advanceTimersByTimeAsync(1000);
    expect(server.siteAsked).toBe(0);
    server.book = 2;
    hint();
    await vi.advanceTimersByTimeAsync(1000);
    hint();
    await vi.advanceTimersByTimeAsync(1000);
    expect(server.siteAsked).toBe(1);
    expect(shown().facts).toMatchObject({ version: 2, name: 'New name' });
    desk.stop();
  });

  test('asks nothing and shows nothing once it is stopped', async () => {
    const { server, desk } = world();
    desk.start();
    await vi.advanceTimersByTimeAsync(1000);
    desk.stop();
    const { nowAsked, listens } = server;
    await vi.advanceTimersByTimeAsync(120_000);
    expect([server.nowAsked, server.listens]).toEqual([nowAsked, listens]);
  });

  test('opens a lost stream again soon, then more and more seldom', () => {
    expect([0, 1, 2, 3, 4, 60].map(reopenAfterMs)).toEqual([1000, 2000, 4000, 8000, 15_000, 15_000]);
  });
});
