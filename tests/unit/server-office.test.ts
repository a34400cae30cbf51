/** The office command, order by order, and with what it gives a tablet and a badge really work. */
import { expect, test } from 'vitest';
import { NO_CALENDAR } from '../../src/domain/calendar/versions.ts';
import { classify, inGroups } from '../../src/domain/code.ts';
import { holderOf } from '../../src/domain/code-hash.ts';
import { DAY_MS } from '../../src/domain/instant.ts';
import type { SiteBook } from '../../src/domain/site-book.ts';
import { officeCommand } from '../../src/server/office/command.ts';
import { enrolAnswerSchema } from '../../src/wire/enrol.ts';
import { EPOCH, FULL, handAt, INES, MONDAY_8, SITE, TOKEN_OF_INES } from '../support/builders.ts';
import { json, newSiteOf, testServer } from '../support/server.ts';

async function office(book: Partial<SiteBook> = {}) {
  const server = await testServer({ book });
  const files = new Map<string, string>();
  const order = async (...args: string[]) =>
    officeCommand(args, {
      ...server,
      now: server.now,
      write: (path, text) => files.set(path, text),
      read: (path) => {
        const text = files.get(path);
        if (text === undefined) throw new Error('no such file');
        return text;
      },
    });
  const done = async (...args: string[]) => {
    const { exitCode, says } = await order(...args);
    expect([exitCode, says]).toEqual([0, says]);
    return says;
  };
  return { server, files, order, done };
}

/** The code that a sentence says, without its spaces. */
const codeIn = (says: string, length: number) => {
  const text = says.replaceAll(' ', '');
  return new RegExp(`[HW][0-9A-Z]{${length - 1}}`).exec(text)?.[0] ?? '';
};

test('somebody new is in the book under an id that tells nothing, and a badge given is theirs', async () => {
  const { server, done } = await office();
  const added = await done('add-operative', '--name', 'Ada Fenn', '--role', 'supervisor');
  const id = /^(o-[0-9a-f]{12}) /.exec(added)?.[1] ?? '';
  expect((await server.ledger.book(SITE))?.operatives.at(-1)).toEqual({
    id,
    name: 'Ada Fenn',
    role: 'supervisor',
    released: null,
  });
  const token = codeIn(await done('give-badge', '--operative', id), 20);
  expect(classify(token, 'camera')).toEqual({ kind: 'badge', token });
  const book = await server.ledger.book(SITE);
  expect(book && holderOf(book, token)).toBe(id);
  expect(JSON.stringify(book)).not.toContain(token);
});

test('a new badge withdraws the one before, and withdrawing leaves none', async () => {
  const { server, done, order } = await office();
  const says = await done('give-badge', '--operative', INES);
  expect(says).toContain('withdrawn');
  const book = await server.ledger.book(SITE);
  expect(book && holderOf(book, TOKEN_OF_INES)).toBeNull();
  await done('withdraw-badge', '--operative', INES);
  expect((await server.ledger.book(SITE))?.badges).toEqual([]);
  expect(await order('withdraw-badge', '--operative', INES)).toMatchObject({ exitCode: 2 });
});

test('a badge and a set-up card are printed to a page with the very code that counts', async () => {
  const { files, done, server } = await office();
  await done('give-badge', '--operative', INES, '--out', 'badge.html');
  expect(files.get('badge.html')).toContain('Ines Okafor');
  const says = await done('add-bench', '--name', 'Welting', '--stages', 'WLT', '--out', 'card.html');
  const page = files.get('card.html')?.replaceAll(/<[^>]*>|\s/g, '') ?? '';
  expect(page).toContain(codeIn(says, 12));
  expect(server.logged).toEqual([]);
});

test('a rack has a code that a bench reads, and a label with that very code', async () => {
  const { server, done, files, order } = await office();
  const says = await done('add-rack', '--name', ' Rack 4 ', '--out', 'rack.html');
  const rack = /R[0-9A-Z]{7}/.exec(says.replace(/ (?=[0-9A-Z]{4}\.)/, ''))?.[0] ?? '';
  expect(classify(rack, 'camera')).toEqual({ kind: 'rack', rack });
  expect((await server.ledger.book(SITE))?.racks).toEqual([{ rack, name: 'Rack 4' }]);
  const page = files.get('rack.html') ?? '';
  expect(page).toContain('Rack 4');
  expect(page).toContain(`<title>QR code of ${inGroups(rack).join(' ')}</title>`);
  expect(page.replaceAll(/<[^>]*>|\s/g, '')).toContain(rack);
  expect(await order('add-rack', '--name', 'rack 4')).toMatchObject({ exitCode: 2 });
  expect(await done('list')).toContain(`${inGroups(rack).join(' ')}  Rack 4`);
});

test('a rack’s name is printed as the text that it is', async () => {
  const { done, files } = await office();
  await done('add-rack', '--name', '<b>4</b>', '--out', 'rack.html');
  expect(files.get('rack.html')).not.toContain('<b>4</b>');
  expect(files.get('rack.html')).toContain('&lt;b&gt;4&lt;/b&gt;');
});

test('a hand is released for the machines that are said, for none but these, or for all again', async () => {
  const { server, done } = await office(FULL);
  const released = async () =>
    (await server.ledger.book(SITE))?.operatives.find(({ id }) => id === INES)?.released;
  expect(await done('release', '--operative', INES, '--stages', 'sti,WLT')).toBe(
    'Ines Okafor is released for STI WLT and no other machine.',
  );
  expect(await released()).toEqual(['STI', 'WLT']);
  expect(await done('list')).toContain('op-ines  Ines Okafor, hand, badge given, released for STI WLT');
  await done('release', '--operative', INES, '--all');
  expect(await released()).toBeNull();
});

test('the list says which version of the routes is kept', async () => {
  expect(await (await office(FULL)).done('list')).toContain('Routes\n  version 1, from the catalogue');
  expect(await (await office()).done('list')).toContain('Routes\n  none');
});

test.each([
  [['release', '--operative', INES], '--stages is missing.'],
  [['release', '--operative', INES, '--all', '--stages', 'STI'], 'Say --stages or --all, not both.'],
  [['release', '--operative', INES, '--stages', 'STI,TRI'], 'TRI, Inspection, has no machine'],
  [['release', '--operative', 'o-none', '--all'], 'nobody here has the id o-none'],
])('%j is told what is wrong and releases nobody', async (args, says) => {
  const { server, order } = await office(FULL);
  expect(await order(...args)).toMatchObject({ exitCode: 2, says: expect.stringContaining(says) });
  expect(await server.ledger.book(SITE)).toEqual(newSiteOf(FULL).book);
});

test('a set-up code enrols a tablet, once, and a revoked tablet is out', async () => {
  const { server, done } = await office();
  const token = codeIn(await done('add-bench', '--name', 'Welting', '--stages', 'wlt, int'), 12);
  const enrol = () => server.fetch('/api/enrol', json({ token, persisted: true }));
  const { key, bench, stages } = enrolAnswerSchema.parse(await (await enrol()).json());
  expect(stages).toEqual(['WLT', 'INT']);
  expect((await enrol()).status).toBe(410);
  expect((await server.fetch('/api/site', { key })).status).toBe(200);
  await done('revoke-bench', '--bench', bench);
  expect((await server.fetch('/api/site', { key })).status).toBe(403);
});

test('a desk needs no stages and sees the desk’s page', async () => {
  const { server, done } = await office();
  const token = codeIn(await done('add-bench', '--name', 'Office', '--place', 'desk'), 12);
  const answer = await server.fetch('/api/enrol', json({ token, persisted: null }));
  const { key } = enrolAnswerSchema.parse(await answer.json());
  expect((await server.fetch('/api/desk/now', { key })).status).toBe(200);
});

test('a code lasts as long and works as often as was said', async () => {
  const { server, done } = await office();
  const says = await done('add-bench', '--name', 'Rack', '--stages', 'WLT', '--uses', '2', '--hours', '1');
  const token = codeIn(says, 12);
  const enrol = async () => (await server.fetch('/api/enrol', json({ token, persisted: null }))).status;
  expect(await enrol()).toBe(200);
  server.now += 3_600_000;
  expect(await enrol()).toBe(410);
});

test('a shift is in the book at once, and dropped from it at once', async () => {
  const { server, done } = await office();
  expect(
    await done('set-shift', '--name', 'Night', '--days', 'mon,fri', '--from', '22:00', '--to', '06:00'),
  ).toBe('Night: mon fri, 22:00 to 06:00 of the day after.');
  const shifts = (await server.ledger.book(SITE))?.shifts ?? [];
  // Monday 2 November 2026, 22:00 in London, where it is winter.
  expect(shifts).toContainEqual({
    name: 'Night',
    day: '2026-11-02',
    breaks: [],
    overtime: false,
    from: Date.parse('2026-11-02T22:00Z'),
    to: Date.parse('2026-11-03T06:00Z'),
  });
  await done('drop-shift', '--name', 'Night');
  expect((await server.ledger.book(SITE))?.shifts).toEqual([]);
});

test('breaks of a shift are set, kept when its times change, and taken away', async () => {
  const { server, done } = await office();
  const breaks = async () => {
    const [shift] = (await server.ledger.book(SITE))?.shifts.filter(({ day }) => day === '2026-11-02') ?? [];
    return shift?.breaks.map(({ from, to }) => [new Date(from), new Date(to)].map(wall).join('-'));
  };
  const wall = (at: Date) => at.toISOString().slice(11, 16);
  const day = ['--name', 'Day', '--days', 'mon,fri'];
  await done('set-shift', ...day, '--from', '07:00', '--to', '15:30', '--breaks', '09:00-09:15');
  expect(await breaks()).toEqual(['09:00-09:15']);
  expect(await done('set-breaks', '--name', 'Day', '--breaks', '12:00-12:30, 09:00-09:20')).toBe(
    'Day: mon fri, 07:00 to 15:30, breaks 12:00-12:30 09:00-09:20.',
  );
  await done('set-shift', ...day, '--from', '07:00', '--to', '12:15');
  expect(await breaks()).toEqual(['09:00-09:20', '12:00-12:15']);
  expect(await done('list')).toContain('Day: mon fri, 07:00 to 12:15, breaks 12:00-12:30 09:00-09:20');
  await done('set-breaks', '--name', 'Day', '--breaks', 'none');
  expect(await breaks()).toEqual([]);
});

test('breaks of the same name’s shifts lie within one of them, on the evening or the morning after', async () => {
  const { server, done, order } = await office();
  const rule = (days: number[], from: string, to: string) => ({ name: 'Night', days, from, to, breaks: [] });
  const rules = [rule([1, 2, 3, 4], '22:00', '06:00'), rule([5], '21:00', '02:00')];
  await server.ledger.setCalendar(SITE, { ...NO_CALENDAR, versions: [{ since: null, rules }] });
  await done('set-breaks', '--name', 'Night', '--breaks', '21:15-21:30,05:30-06:00');
  const one = ['set-shift', '--name', 'Night', '--days', 'mon', '--from', '22:00', '--to', '06:00'] as const;
  // One would take the place of both.
  expect(await order(...one)).toMatchObject({ exitCode: 2 });
  const [, today] = (await server.ledger.calendar(SITE)).versions;
  expect(today?.since).toBe('2026-11-02');
  expect(new Set(today?.rules.map(({ breaks }) => breaks.length))).toEqual(new Set([2]));
});

test('a change of shifts holds since today, and changed again today it is one change', async () => {
  const { server, done } = await office();
  const set = (to: string) =>
    done('set-shift', '--name', 'Day', '--days', 'mon', '--from', '07:00', '--to', to);
  await set('15:00');
  server.now += 7 * DAY_MS;
  await set('15:30');
  await set('16:00');
  const { versions } = await server.ledger.calendar(SITE);
  expect(versions.map(({ since, rules }) => [since, ...rules.map(({ to }) => to)])).toEqual([
    ['2026-11-02', '15:00'],
    ['2026-11-09', '16:00'],
  ]);
  const shifts = (await server.ledger.book(SITE))?.shifts ?? [];
  expect(shifts.slice(0, 2).map(({ to }) => new Date(to).toISOString().slice(0, 16))).toEqual([
    '2026-11-02T15:00',
    '2026-11-09T16:00',
  ]);
});

test('on shut days no shift is in the book, until they are taken away', async () => {
  const { server, done, order } = await office();
  const days = async () => (await server.ledger.book(SITE))?.shifts.map(({ day }) => day).slice(0, 4);
  await done('set-shift', '--name', 'Day', '--days', 'mon,tue', '--from', '07:00', '--to', '15:00');
  const shut = ['set-shut', '--name', 'Stocktaking', '--from', '2026-11-03'];
  expect(await done(...shut, '--to', '2026-11-09')).toBe(
    'Shut 2026-11-03 to 2026-11-09: Stocktaking. No shift begins on these days.',
  );
  expect(await days()).toEqual(['2026-10-26', '2026-10-27', '2026-11-02', '2026-11-10']);
  expect(await done('list')).toContain('Shut days\n  2026-11-03 to 2026-11-09: Stocktaking');
  // Said again, with one day alone.
  await done(...shut);
  expect(await days()).toEqual(['2026-10-26', '2026-10-27', '2026-11-02', '2026-11-09']);
  expect(await order('drop-shut', '--from', '2026-11-04')).toMatchObject({ exitCode: 2 });
  expect(await done('drop-shut', '--from', '2026-11-03')).toBe('No longer shut 2026-11-03: Stocktaking.');
  expect(await days()).toEqual(['2026-10-26', '2026-10-27', '2026-11-02', '2026-11-03']);
});

test('overtime is in the book as such, and taken away by its day and name', async () => {
  const { server, done, order } = await office();
  const saturday = ['--day', '2026-11-07', '--name', 'Saturday'];
  expect(await done('set-overtime', ...saturday, '--from', '07:00', '--to', '12:00')).toBe(
    'Overtime 2026-11-07: Saturday, 07:00 to 12:00.',
  );
  await done('set-overtime', ...saturday, '--from', '07:00', '--to', '13:00', '--breaks', '10:00-10:15');
  expect((await server.ledger.book(SITE))?.shifts).toEqual([
    {
      name: 'Saturday',
      day: '2026-11-07',
      from: Date.parse('2026-11-07T07:00Z'),
      to: Date.parse('2026-11-07T13:00Z'),
      breaks: [{ from: Date.parse('2026-11-07T10:00Z'), to: Date.parse('2026-11-07T10:15Z') }],
      overtime: true,
    },
  ]);
  expect(await done('list')).toContain('Saturday, 07:00 to 13:00, breaks 10:00-10:15');
  expect(await order('drop-overtime', '--day', '2026-11-07', '--name', 'Sunday')).toMatchObject({
    exitCode: 2,
  });
  await done('drop-overtime', ...saturday);
  expect((await server.ledger.book(SITE))?.shifts).toEqual([]);
});

const SHIFT = ['set-shift', '--name', 'Day', '--days', 'mon', '--from', '07:00', '--to', '15:30'];
test.each([
  [[...SHIFT, '--breaks', '9:00-9:15'], '9:00-9:15 is no break as 09:00-09:15; or none.'],
  [[...SHIFT, '--breaks', '15:15-15:45'], '15:15-15:45 is not within 07:00 to 15:30.'],
  [[...SHIFT, '--breaks', '06:45-07:15'], '06:45-07:15 is not within'],
  [[...SHIFT, '--breaks', '09:00-09:00'], '09:00-09:00 is not within'],
  [[...SHIFT, '--breaks', '09:00-09:75'], 'is no time as 22:00'],
  [['set-breaks', '--name', 'Day', '--breaks', 'none'], 'there is no shift Day.'],
  [['set-shut', '--name', 'Shut', '--from', '2026-02-30'], 'from: '],
  [['set-shut', '--name', 'Shut', '--from', '2026-12-24', '--to', '2026-12-23'], 'is before 2026-12-24'],
  [['set-overtime', '--day', '7 November', '--name', 'x', '--from', '07:00', '--to', '08:00'], 'day: '],
])('%j is told what is wrong and changes no calendar', async (args, says) => {
  const { server, order } = await office();
  expect(await order(...args)).toMatchObject({ exitCode: 2, says: expect.stringContaining(says) });
  expect(await server.ledger.calendar(SITE)).toEqual(NO_CALENDAR);
  expect((await server.ledger.book(SITE))?.shifts).toEqual([]);
});

test('after a restore every cursor is void', async () => {
  const { server, done } = await office();
  const bench = await server.enrol();
  await bench.push([handAt(bench.bench).write('badged-on')]);
  await done('restored');
  const answer = await (await bench.get(`/api/pull?after=${EPOCH}.1`)).json();
  expect(answer).toMatchObject({ fromStart: true, records: [{ pos: 1 }] });
});

test('the list names who and what is here, and sequences that do not run through', async () => {
  const { server, done } = await office();
  const bench = await server.enrol();
  await bench.push([handAt(bench.bench).write('badged-on', { seq: 3 })]);
  const list = await done('list');
  expect(list).toContain('op-ines  Ines Okafor, hand, badge given');
  expect(list).toContain(`${bench.bench}  Tablet 1, WLT`);
  expect(list).toContain(`${bench.bench}: 1 to 2 not here`);
});

test('the site’s wording and the shape of its numbers can be set, and unset', async () => {
  const { server, done } = await office();
  await done('set-site', '--ask', 'Ruth Adeyemi', '--ticket-pattern', 'AB######', '--closing-stage', 'int');
  const book = await server.ledger.book(SITE);
  expect(book).toMatchObject({ ask: 'Ruth Adeyemi', ticketPattern: 'AB######', closingStage: 'INT' });
  await done('set-site', '--ticket-pattern', '');
  expect((await server.ledger.book(SITE))?.ticketPattern).toBeNull();
});

test.each([
  [[], 'Say what to do.'],
  [['toString'], 'Say what to do.'],
  [['list', 'more'], 'One order at a time'],
  [['list', '--loud'], '--loud'],
  [['list', '--site', 'netherby'], `--site: one of ${SITE}.`],
  [['add-operative'], '--name is missing.'],
  [['add-operative', '--name', 'x'.repeat(61)], 'name'],
  [['add-operative', '--name', 'Ada', '--role', 'king'], '--role: one of hand, supervisor, office.'],
  [['give-badge', '--operative', 'o-none'], 'nobody here has the id o-none'],
  [['add-bench', '--name', 'B'], '--stages is missing.'],
  [['add-bench', '--name', 'B', '--stages', 'WLT,XYZ'], 'XYZ is no stage'],
  [['add-bench', '--name', 'B', '--stages', 'WLT', '--uses', '0'], '--uses: a whole number from 1 to 100.'],
  [['revoke-bench', '--bench', 'b-none'], 'no tablet here has the id b-none'],
  [['set-shift', '--name', 'N', '--days', 'moon', '--from', '06:00', '--to', '14:00'], 'moon is none of mon'],
  [['set-shift', '--name', 'N', '--days', 'mon', '--from', '6', '--to', '14:00'], 'from: is no time'],
  [['drop-shift', '--name', 'N'], 'there is no shift N'],
  [['set-site'], 'Say what to set'],
  [['set-site', '--ticket-pattern', 'ABC'], 'needs at least one #, @ or ?'],
  [['set-site', '--ticket-pattern', '????????'], 'numbers like ???????? can also be a ticket, tag, badge'],
  [['set-site', '--ticket-pattern', '@#@####@'], 'could not tell them apart'],
  [['set-site', '--ticket-pattern', '####/@'], 'no /L or /R at the end'],
  [['add-rack'], '--name is missing.'],
  [['add-rack', '--name', 'x'.repeat(41)], 'name'],
])('%j is told what is wrong, with exit code 2, and changes nothing', async (args, says) => {
  const { server, order } = await office();
  const outcome = await order(...args);
  expect(outcome.exitCode).toBe(2);
  expect(outcome.says).toContain(says);
  expect(await server.ledger.book(SITE)).toEqual(newSiteOf().book);
  expect(server.now).toBe(MONDAY_8);
});
