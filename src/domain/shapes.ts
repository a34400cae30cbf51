/**
 * The few shapes that all schemas are made of, each with its bounds. On zod's small build, since a bench loads them
 * before it can show anything.
 */
import * as z from 'zod/mini';

/** A whole number, both bounds included. */
export const whole = (least: number, most: number = Number.MAX_SAFE_INTEGER) =>
  z.int().check(z.minimum(least), z.maximum(most));

/** A text of so many characters. */
export const text = (least: number, most: number) => z.string().check(z.minLength(least), z.maxLength(most));

/** A text of one pattern, which bounds its length. */
export const written = (pattern: RegExp, otherwise: string) => z.string().check(z.regex(pattern, otherwise));

/** A text of one pattern that is somebody's or something's id. */
export const idText = <Id extends string>(pattern: RegExp, otherwise: string) =>
  z.pipe(
    written(pattern, otherwise),
    z.transform((id) => id as Id),
  );

/** A list of at most so many. */
export const listOf = <Item extends z.ZodMiniType>(item: Item, most: number, least = 0) =>
  z.array(item).check(z.minLength(least), z.maxLength(most));
