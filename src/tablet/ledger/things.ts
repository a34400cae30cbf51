/** Finding records by the thing that they are about. Read in when it is first asked for: a bench scans without it. */
import type { Placed } from '../../domain/fold/order.ts';
import { thingOf } from '../../domain/record/kinds.ts';
import type { Connection } from './connection.ts';
import { findThings, THINGS_FOUND } from './migrations.ts';
import { packs } from './packing-store.ts';
import { allHeld } from './packs.ts';
import { cursorFrom } from './settings-rows.ts';
import { EVERYTHING } from './whole-store.ts';

/** As `TabletLedger.recordsOfThing`. */
export async function recordsOfThing(connection: Connection, thing: string): Promise<readonly Placed[]> {
  await findThingsOfOlderRows(connection);
  const { rows, held } = await connection.read(EVERYTHING, async (reading) => {
    const [rows, held, packed] = await Promise.all([
      reading.objectStore('records').index('thing').getAll(thing),
      reading.objectStore('packs').index('thing').getAll(thing),
      packs(reading),
    ]);
    return { rows, held: packed ? held : [] };
  });
  return allHeld(rows, held).filter(({ record }) => thingOf(record) === thing);
}

/**
 * An older app, put back or still open in another window, works on this store and writes rows without their thing;
 * it moves the cursor and not our mark beside it. Then all rows are looked through, in steps that each end soon.
 */
async function findThingsOfOlderRows(connection: Connection): Promise<void> {
  const [cursor, found] = await connection.read(['settings'], (reading) => {
    const settings = reading.objectStore('settings');
    return Promise.all([settings.get('cursor'), settings.get(THINGS_FOUND)]);
  });
  const upTo = cursorFrom(cursor);
  if (found === upTo) return;
  let after: string | null = null;
  do {
    const from: string | null = after;
    after = await connection.write(['records'], (writing) =>
      findThings(writing.objectStore('records'), from),
    );
  } while (after !== null);
  await connection.write(['settings'], (writing) => writing.objectStore('settings').put(upTo, THINGS_FOUND));
}
