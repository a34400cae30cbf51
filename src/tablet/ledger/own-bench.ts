import type { Reading } from './whole-store.ts';

/** Whose tablet this is, by its enrolment; null where it has none. */
export async function ownBench(reading: Reading): Promise<string | null> {
  const enrolment: unknown = await reading.objectStore('settings').get('enrolment');
  if (typeof enrolment !== 'object' || enrolment === null || !('bench' in enrolment)) return null;
  return typeof enrolment.bench === 'string' ? enrolment.bench : null;
}
