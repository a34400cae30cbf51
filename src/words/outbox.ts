/** What the settings page says of records that are not at the server. */
import { count } from './format.ts';

export const outboxWords = {
  title: 'Not at the server',
  refusedTitle: 'Not taken by the server',
  refusedHelp: 'They are kept here. Show them to whoever looks after the server',
  help: 'They are kept here until the server has them. If it cannot be reached, take them along as a file',
  save: (records: number) => `Save ${count(records, 'record')} as a file`,
  saved:
    'Saved among this tablet’s downloads. At the server: npm run office -- take-in --file, then the file’s name',
  show: 'Show them as symbols',
  hide: 'Hide the symbols',
  showHelp: 'Each symbol is one line of the file',
  symbol: (number: number, of: number) => `Record ${number} of ${of}`,
  wait: 'Reading what is kept here',
  unreadable: 'What is kept here cannot be read just now. Try again in a moment',
} as const;

/** A kind of record as a word: `clocked-in` is «clocked in». */
export const kindWords = (kind: string): string => kind.replaceAll('-', ' ');

const FIELDS: Readonly<Record<string, string>> = {
  at: 'time',
  bench: 'bench',
  by: 'name',
  id: 'number',
  kind: 'kind',
  pair: 'ticket number',
  seq: 'place in the bench’s sequence',
  site: 'site',
  stage: 'stage',
  wall: 'clock',
};

const KNOWN: readonly (readonly [string, string])[] = [
  ['id: another record', 'The server holds another record under the same number'],
  ['site: is not the site', 'It was made for another site'],
  ['bench: is not the bench', 'It was made at another bench'],
  ['kind: is work at a bench', 'It is work at a bench, and this is a desk'],
  ['kind: is no name', 'The server cannot read what kind of record it is'],
  ['record: is too large', 'It is too long for the server'],
  ['record: has more than', 'It is too long for the server'],
  ['record: is nested', 'The server cannot read how it is built'],
];

/** Why the server would not take a record, from its own words `field: what is wrong`. */
export function reasonInWords(reason: string): string {
  const known = KNOWN.find(([begins]) => reason.startsWith(begins));
  if (known !== undefined) return known[1];
  const field = /^([a-z]\w*)[.:]/i.exec(reason)?.[1] ?? '';
  return `The server cannot read its ${FIELDS[field] ?? (field === '' ? 'content' : `«${field}»`)}`;
}
