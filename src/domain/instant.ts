import { whole } from './shapes.ts';

/** An instant: whole milliseconds since 1970-01-01T00:00Z. The range of a UUIDv7's clock is more than enough. */
export type Instant = number;

export const instantSchema = whole(0, 2 ** 48 - 1);

export const MINUTE_MS = 60_000;
export const HOUR_MS = 60 * MINUTE_MS;
export const DAY_MS = 24 * HOUR_MS;
