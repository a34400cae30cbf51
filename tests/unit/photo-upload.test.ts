/** The uploader told as logs: what it sent, in order, and how long it then rested. */
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { LedgerFailure } from '../../src/tablet/ledger/ledger.ts';
import { photoOf } from '../contract/photo-store.ts';
import { MONDAY_8 } from '../support/builders.ts';
import { TAKEN, UploadWorld } from '../support/upload-world.ts';

let world: UploadWorld;
beforeEach(() => {
  world = new UploadWorld();
});
afterEach(() => world.end());

const stateOf = async (number: number) => (await world.photos.get(photoOf(number).photo))?.state;

describe('the way of a photograph', () => {
  test('what waits goes one at a time, oldest first, and is then at the server', async () => {
    await world.take(1, 2, 3);
    await world.start();
    expect(world.taken()).toEqual(['put 1', 'put 2', 'put 3', 'rest 60000']);
    expect(await world.numbersWaiting()).toEqual([]);
    expect(world.uploader.status).toEqual({ waiting: 0, refused: 0, server: 'reached', store: null });
  });

  test('a record made in any window wakes it, and so does a call', async () => {
    await world.start();
    await world.take(1);
    await world.woken(async () => {
      await world.makeRecord();
      await world.ledger.confirm((await world.ledger.waiting(9)).map(({ id }) => id));
    });
    expect(world.taken()).toEqual(['rest 60000', 'put 1', 'rest 60000']);
    await world.take(2);
    await world.woken(() => world.uploader.wake());
    expect(world.taken()).toEqual(['put 2', 'rest 60000']);
  });

  test('one taken while another is on its way goes in the same round', async () => {
    await world.take(1);
    world.onTheWay = async () => {
      world.onTheWay = async () => undefined;
      await world.take(2);
    };
    await world.start();
    expect(world.taken()).toEqual(['put 1', 'put 2', 'rest 60000']);
  });

  test('with nobody to wake it, it looks again by itself', async () => {
    await world.start();
    await world.take(1);
    await world.passRest();
    expect(world.taken()).toEqual(['rest 60000', 'put 1', 'rest 60000']);
  });

  test('records go first, and a photograph goes all the same when they cannot', async () => {
    await world.take(1);
    await world.makeRecord();
    await world.start();
    expect(world.taken()).toEqual(['rest 5000']);
    await world.passRest();
    await world.passRest();
    await world.passRest();
    expect(world.taken()).toEqual(['rest 5000', 'rest 5000', 'put 1', 'rest 60000']);
  });

  test('once the records are at the server the photograph gives way no more', async () => {
    await world.take(1);
    await world.makeRecord();
    await world.start();
    await world.ledger.confirm((await world.ledger.waiting(9)).map(({ id }) => id));
    await world.passRest();
    expect(world.taken().slice(0, 2)).toEqual(['rest 5000', 'put 1']);
  });
});

describe('a server that gives no good answer', () => {
  test('no answer: nothing is lost, and each wait is longer, up to five minutes', async () => {
    await world.take(1, 2);
    world.saysToAll = { is: 'unreachable' };
    await world.start();
    for (let times = 0; times < 10; times += 1) await world.passRest();
    const rests = world.taken().filter((line) => line.startsWith('rest'));
    expect(rests.slice(0, 4)).toEqual(['rest 1000', 'rest 2000', 'rest 4000', 'rest 8000']);
    expect(rests.at(-1)).toBe('rest 300000');
    expect(await world.numbersWaiting()).toEqual([1, 2]);
    expect(world.uploader.status).toMatchObject({ waiting: 2, server: 'unreachable' });
    world.saysToAll = null;
    await world.woken(() => world.uploader.wake('online'));
    expect(await world.numbersWaiting()).toEqual([]);
  });

  test('records made meanwhile are no reason to press a server that gave no answer', async () => {
    await world.take(1);
    world.saysToAll = { is: 'unreachable' };
    await world.start();
    expect(await world.staysAtRest(() => world.makeRecord())).toBe(true);
  });

  test('a busy server gets the time it asks for, and only a person may cut it short', async () => {
    await world.take(1);
    world.saysToAll = { is: 'busy', retryAfterMs: 20_000 };
    await world.start();
    expect(world.taken()).toEqual(['put 1', 'rest 21000']);
    expect(await world.staysAtRest(() => world.uploader.wake('online'))).toBe(true);
    world.saysToAll = null;
    await world.woken(() => world.uploader.wake('asked'));
    expect(await stateOf(1)).toBe('at-server');
  });

  test('a key that is not taken pauses it; all is kept, and it asks again later', async () => {
    await world.take(1, 2);
    world.saysToAll = { is: 'not-allowed' };
    await world.start();
    expect(world.taken()).toEqual(['put 1', 'rest 300000']);
    expect(world.uploader.status).toMatchObject({ server: 'paused', waiting: 2, refused: 0 });
    expect(await world.staysAtRest(() => world.uploader.wake('record'))).toBe(true);
    world.saysToAll = null;
    await world.passRest();
    expect(await world.numbersWaiting()).toEqual([]);
  });

  test('a photograph that is refused is kept, counted, and not sent again', async () => {
    await world.take(1, 2);
    world.says.set(1, { is: 'refused', reasons: ['body: is no image/jpeg'] });
    await world.start();
    expect(world.taken()).toEqual(['put 1', 'put 2', 'rest 60000']);
    expect(await stateOf(1)).toBe('refused');
    expect((await world.photos.get(photoOf(1).photo))?.reasons).toEqual(['body: is no image/jpeg']);
    expect(world.uploader.status).toMatchObject({ waiting: 0, refused: 1 });
    await world.passRest();
    expect(world.taken()).toEqual(['rest 60000']);
  });

  test('a photograph on which the server fails does not hold up the others, and is tried again', async () => {
    await world.take(1, 2);
    world.says.set(1, { is: 'fault' });
    await world.start();
    expect(world.taken()).toEqual(['put 1', 'put 2', 'rest 1000']);
    expect(await world.numbersWaiting()).toEqual([1]);
    world.says.delete(1);
    await world.passRest();
    expect(world.taken()).toEqual(['put 1', 'rest 60000']);
  });

  test('a server that fails on all is left alone after three, and comes to the rest in later rounds', async () => {
    await world.take(1, 2, 3, 4, 5);
    world.saysToAll = { is: 'fault' };
    await world.start();
    expect(world.taken()).toEqual(['put 1', 'put 2', 'put 3', 'rest 1000']);
    await world.passRest();
    expect(world.taken()).toEqual(['put 4', 'put 5', 'rest 2000']);
    expect(await world.numbersWaiting()).toEqual([1, 2, 3, 4, 5]);
  });

  test('another body of data ends it, and the photograph still waits', async () => {
    await world.take(1, 2);
    world.saysToAll = { is: 'taken', dataset: 'dataset-of-another', epoch: 'x' };
    await world.start();
    await world.ended;
    expect(world.taken()).toEqual(['put 1']);
    expect(world.uploader.status).toMatchObject({ server: 'stopped' });
    expect(await world.numbersWaiting()).toEqual([1, 2]);
  });
});

test('after a restore what was sent before goes again', async () => {
  await world.take(1, 2);
  await world.start();
  await world.ledger.remember({ epoch: 'epoch-one' });
  await world.woken(() => world.uploader.wake());
  expect(world.taken().filter((line) => line.startsWith('put'))).toEqual(['put 1', 'put 2']);
  world.saysToAll = { ...TAKEN, epoch: 'epoch-two' } as typeof TAKEN;
  await world.woken(() => world.ledger.remember({ epoch: 'epoch-two' }));
  expect(world.taken().filter((line) => line.startsWith('put'))).toEqual(['put 1', 'put 2']);
  await world.woken(() => world.uploader.wake());
  expect(world.taken()).toEqual(['rest 60000']);
});

test('a store that cannot be used is said, and tried again', async () => {
  await world.take(1);
  const mark = world.photos.markAtServer.bind(world.photos);
  world.photos.markAtServer = () => Promise.reject(new LedgerFailure('full'));
  await world.start();
  expect(world.taken()).toEqual(['put 1', 'rest 1000']);
  expect(world.uploader.status.store).toBe('full');
  world.photos.markAtServer = mark;
  await world.passRest();
  expect(world.taken()).toEqual(['put 1', 'rest 60000']);
  expect(world.uploader.status.store).toBeNull();
});

test('who watches hears of every change until it stops', async () => {
  const heard: number[] = [];
  const stop = world.uploader.watch(({ waiting }) => heard.push(waiting));
  await world.photos.keep(photoOf(1), MONDAY_8);
  await world.start();
  expect(heard.at(-1)).toBe(0);
  stop();
  const before = heard.length;
  await world.passRest();
  expect(heard.length).toBe(before);
});
