/** Issuing ticket numbers of the tablet's own lane. Read in when the first one is issued. */
import { issueTicket } from '../../domain/code.ts';
import type { PairId } from '../../domain/ids.ts';
import type { Connection } from './connection.ts';
import { laneFrom } from './settings-rows.ts';
import { EVERYTHING, type Writing } from './whole-store.ts';

/** As `TabletLedger.takeTicket`. */
export async function takeTicket(connection: Connection): Promise<PairId> {
  const taken = await connection.write(EVERYTHING, async (writing) => {
    const settings = writing.objectStore('settings');
    const lane = laneFrom(await settings.get('enrolment'), await settings.get('ticketCounter'));
    const issued = lane === null ? null : await freeTicket(writing, lane);
    if (issued !== null) await settings.put(issued.next, 'ticketCounter');
    return issued?.pair ?? null;
  });
  if (taken === null) throw new RangeError('the tablet has no lane, or all its numbers are given');
  return taken;
}

/** The lane's next number that no record is about; null where it has none left. */
async function freeTicket(
  writing: Writing,
  { lane, counter }: { readonly lane: number; readonly counter: number },
): Promise<{ readonly pair: PairId; readonly next: number } | null> {
  const pairs = [writing.objectStore('records').index('pair'), writing.objectStore('packs')];
  for (let next = counter; ; ) {
    const issued = ticketOrNull(lane, next);
    if (issued === null) return null;
    const keys = await Promise.all(pairs.map((held) => held.getKey(issued.pair)));
    if (keys.every((key) => key === undefined)) return issued;
    next = issued.next;
  }
}

function ticketOrNull(lane: number, counter: number) {
  try {
    return issueTicket(lane, counter);
  } catch (cause) {
    if (cause instanceof RangeError) return null;
    throw cause;
  }
}
