/** The spell that a scan in has just begun, as the fold makes it. */
export { begunBy } from '../src/domain/fold/spells.ts';
