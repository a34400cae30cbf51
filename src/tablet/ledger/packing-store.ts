/** Whether a store packs pairs, and which settings then stand under names of their own: see `packs.ts`. */
import type { Cursor } from '../../domain/ids.ts';
import { cursorFrom, PACKED, type SettingName } from './settings-rows.ts';
import type { Reading } from './whole-store.ts';

/** The cursor, for a transaction that is open. */
export async function cursorIn(reading: Reading): Promise<Cursor> {
  const settings = reading.objectStore('settings');
  const [packed, plain] = await Promise.all([settings.get(PACKED.cursor), settings.get('cursor')]);
  return cursorFrom(packed ?? plain);
}

/** Packs that lie in a store which does not pack were left behind by an app that knew nothing of them. */
export async function packs(reading: Reading): Promise<boolean> {
  return (await reading.objectStore('settings').getKey(PACKED.cursor)) !== undefined;
}

/** Under which name the setting stands. */
export async function settingKey(reading: Reading, name: SettingName): Promise<string> {
  if (name !== 'cursor' && name !== 'readIn') return name;
  return (await packs(reading)) ? PACKED[name] : name;
}
