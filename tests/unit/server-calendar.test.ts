/** The calendar at the desk: read and replaced by a supervisor; the book follows at once; two desks do not overwrite each other. */
import { describe, expect, test } from 'vitest';
import { calendarAnswerSchema } from '../../src/wire/calendar.ts';
import { refusalSchema } from '../../src/wire/refusal.ts';
import { INES, MONDAY_8, RUTH, SITE } from '../support/builders.ts';
import { json, type TestServer, testServer } from '../support/server.ts';

const EARLY = {
  name: 'Early',
  days: [1, 2, 3, 4, 5],
  from: '06:00',
  to: '14:00',
  breaks: [{ from: '09:00', to: '09:15' }],
};
const SHUT = { from: '2026-12-24', to: '2027-01-01', name: 'Christmas' };

async function site() {
  const server = await testServer();
  return { server, desk: await server.enrol('desk'), bench: await server.enrol('bench') };
}

const read = async (server: TestServer, key: string) =>
  calendarAnswerSchema.parse(await (await server.fetch('/api/site/calendar', { key })).json());

const change = (server: TestServer, key: string, told: object) =>
  server.fetch('/api/site/calendar', {
    ...json({ rules: [], shut: [], overtime: [], by: RUTH, ...told }),
    key,
  });

const refusal = async (response: Response) => {
  const { refused } = refusalSchema.parse(await response.json());
  return [response.status, refused];
};

describe('the calendar at the desk', () => {
  test('is replaced by a supervisor, and the book has the shifts at once', async () => {
    const { server, desk } = await site();
    const { tag, today, rules } = await read(server, desk.key);
    expect([today, rules]).toEqual(['2026-11-02', []]);
    const answer = await change(server, desk.key, { tag, rules: [EARLY], shut: [SHUT] });
    expect(answer.status).toBe(200);
    const after = calendarAnswerSchema.parse(await answer.json());
    expect(after).toMatchObject({ rules: [EARLY], shut: [SHUT], overtime: [] });
    expect(after.tag).not.toBe(tag);
    const book = await server.ledger.book(SITE);
    // 06:00 on a wall in Britain in November is 06:00Z.
    const today6 = book?.shifts.find(({ day }) => day === '2026-11-02');
    expect(today6).toMatchObject({
      name: 'Early',
      from: MONDAY_8 - 2 * 3_600_000,
      breaks: [{ from: MONDAY_8 + 3_600_000 }],
    });
    expect(book?.shifts.some(({ day }) => day === '2026-12-25')).toBe(false);
    expect(await read(server, desk.key)).toEqual({ ...after, state: expect.anything() });
  });

  test('is overwritten by nobody who saw another one', async () => {
    const { server, desk } = await site();
    const { tag } = await read(server, desk.key);
    await change(server, desk.key, { tag, rules: [EARLY] });
    expect(await refusal(await change(server, desk.key, { tag }))).toEqual([409, 'book-changed']);
    expect((await read(server, desk.key)).rules).toEqual([EARLY]);
  });

  test('is changed by one of two who saw the same and change it at the same moment', async () => {
    const { server, desk } = await site();
    const { tag } = await read(server, desk.key);
    const answers = await Promise.all([
      change(server, desk.key, { tag, rules: [EARLY] }),
      change(server, desk.key, { tag, shut: [SHUT] }),
    ]);
    expect(answers.map(({ status }) => status).sort()).toEqual([200, 409]);
    const { rules, shut } = await read(server, desk.key);
    expect([rules, shut]).toEqual(answers[0]?.status === 200 ? [[EARLY], []] : [[], [SHUT]]);
  });

  test('is changed by a supervisor alone, at a desk alone, and only to what can be', async () => {
    const { server, desk, bench } = await site();
    const { tag } = await read(server, desk.key);
    expect(await refusal(await change(server, desk.key, { tag, by: INES }))).toEqual([403, 'not-allowed']);
    expect(await refusal(await change(server, bench.key, { tag }))).toEqual([403, 'not-allowed']);
    expect(await refusal(await server.fetch('/api/site/calendar', { key: bench.key }))).toEqual([
      403,
      'not-allowed',
    ]);
    const outside = { ...EARLY, breaks: [{ from: '15:00', to: '15:15' }] };
    expect(await refusal(await change(server, desk.key, { tag, rules: [outside] }))).toEqual([
      400,
      'bad-request',
    ]);
    const unread = { ...EARLY, from: '25:00' };
    expect(await refusal(await change(server, desk.key, { tag, rules: [unread] }))).toEqual([
      400,
      'bad-request',
    ]);
    expect((await read(server, desk.key)).rules).toEqual([]);
  });
});
