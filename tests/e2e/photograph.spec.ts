/** A photograph taken at the bench: made small, kept there without a network, and at the server in the end. */
import { createHash } from 'node:crypto';
import { open, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { expect } from 'playwright/test';
import { asStageCode } from '../../src/domain/ids.ts';
import { actions, bench } from '../../src/words/bench.ts';
import { test } from '../support/full-site-test.ts';
import { onlyOne, query, recordsOfBench } from '../support/sqlite-client.ts';

const TRI = asStageCode('TRI');
const CLOCKED_IN = /^Clocked in/;
const MB = 1024 * 1024;
/** SOI and the first marker of a JPEG (ISO/IEC 10918-1). */
const JPEG_HEAD = Buffer.from([0xff, 0xd8, 0xff, 0xe0]);

test.use({ actionTimeout: 10_000 });

test('a photograph taken without a network is at the server once there is one', async ({
  rack,
  full: { site },
}) => {
  const pair = await site.logPairAs({ job: 'HL' });
  const tablet = await rack.open({ site, name: 'Photographs', stages: [TRI] });
  await tablet.badgeOn(site.badges.ines, 'Ines Okafor');
  await tablet.wedgeUntil(pair, pair, CLOCKED_IN);
  // Any picture that is larger than a photograph may be kept.
  const buffer = await tablet.page.screenshot({ type: 'jpeg', scale: 'css' });
  await tablet.untilSent();
  await tablet.context.setOffline(true);
  await tablet.tap(actions.more);
  await tablet.choose(tablet.button(actions.photograph), {
    name: 'shoe.jpg',
    mimeType: 'image/jpeg',
    buffer,
  });
  await tablet.untilCard(pair, new RegExp(`^${bench.pictured.says}$`));
  expect(await photos(site.ledgerFile)).toEqual([]);

  await tablet.context.setOffline(false);
  await tablet.untilSent(30_000);
  const pictured = onlyOne(await recordsOfBench(site.ledgerFile, 'Photographs'), 'pictured');
  expect(pictured).toMatchObject({ pair, type: 'image/jpeg', note: null });
  await expect.poll(() => photos(site.ledgerFile), { timeout: 30_000 }).toHaveLength(1);
  const [held] = await photos(site.ledgerFile);
  const body = Buffer.from(String(held?.body), 'hex');
  expect(createHash('sha256').update(body).digest('hex')).toBe(pictured.photo);
  expect(body.length).toBe(pictured.bytes);
  expect(body.subarray(0, 3)).toEqual(JPEG_HEAD.subarray(0, 3));
});

test('what is no photograph, or far too large for one, is refused in words, and nothing is kept', async ({
  rack,
  full: { site },
}) => {
  const pair = await site.logPairAs({ job: 'HL' });
  const folder = await rack.newFolder();
  const notes = join(folder, 'notes.jpg');
  await writeFile(notes, 'welt torn at the waist, left');
  const [broken, huge] = [join(folder, 'broken.jpg'), join(folder, 'huge.jpg')];
  await makeLong(broken, 40 * MB);
  await makeLong(huge, 61 * MB);

  const tablet = await rack.open({ site, name: 'Refused pictures', stages: [TRI] });
  await tablet.badgeOn(site.badges.ines, 'Ines Okafor');
  await tablet.wedgeUntil(pair, pair, CLOCKED_IN);
  await tablet.tap(actions.more);
  for (const [file, why] of [
    [notes, 'not-a-picture'],
    [broken, 'unreadable'],
    [huge, 'too-large'],
  ] as const) {
    // The bar offers to take it again, beside the list that the first one was chosen from.
    await tablet.choose(tablet.button(actions.photograph).last(), file);
    await expect(tablet.says).toHaveText(bench.noPicture[why].says);
    await expect(tablet.next).toHaveText(bench.noPicture[why].next);
  }
  await tablet.untilSent();
  const kinds = (await recordsOfBench(site.ledgerFile, 'Refused pictures')).map(({ kind }) => kind);
  expect(kinds).toEqual(['bench-set', 'badged-on', 'clocked-in']);
});

const photos = (file: string) => query(file, 'select photo, hex(body) as body from photos');

/** A file that begins as a JPEG does, and is nothing but zeros after that. */
async function makeLong(path: string, bytes: number): Promise<void> {
  const file = await open(path, 'w');
  await file.write(JPEG_HEAD);
  await file.truncate(bytes);
  await file.close();
}
