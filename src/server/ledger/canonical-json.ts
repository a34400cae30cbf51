/**
 * One text for one content, whatever the order of its keys: keys sorted by UTF-16 code units, numbers and strings
 * as ECMAScript writes them, no white space (RFC 8785). A lone surrogate stays escaped as it is in JSON.
 */

/** A record is flat but for a list or two; deeper than this it is an attack or a fault. */
export const DEPTH_MAX = 16;

/** Printable ASCII without quotation mark and reverse solidus stands as it is (RFC 8259, section 7). */
const UNESCAPED = /^[ !#-[\]-~]*$/;
const PLAIN = /^[A-Za-z]{1,24}$/;

/**
 * @param value as parsed from JSON
 * @throws RangeError when it is nested more deeply than `DEPTH_MAX`
 */
export function canonicalJson(value: unknown, depth = 0): string {
  if (typeof value === 'string') return UNESCAPED.test(value) ? `"${value}"` : JSON.stringify(value);
  if (typeof value !== 'object' || value === null) return JSON.stringify(value);
  if (depth >= DEPTH_MAX) throw new RangeError(`is nested more than ${DEPTH_MAX} deep`);
  if (Array.isArray(value)) return `[${value.map((item) => canonicalJson(item, depth + 1)).join(',')}]`;
  let text = '';
  for (const key of Object.keys(value).sort()) {
    const item = (value as Readonly<Record<string, unknown>>)[key];
    // A plain name needs no escaping, and nearly all are.
    const name = PLAIN.test(key) ? `"${key}"` : JSON.stringify(key);
    text += `${text === '' ? '' : ','}${name}:${canonicalJson(item, depth + 1)}`;
  }
  return `{${text}}`;
}
