/** What the bench asks before a pair can be begun, the answers to it, and the reasons to choose from. */
import type { Ask } from '../domain/begin.ts';
import { inGroups } from '../domain/code.ts';
import type { OneShoe } from '../domain/record/kinds.ts';
import { capital, type Line } from './line.ts';
import { shoeNames } from './names.ts';

/** Names, times and places, as the screen says them. */
export interface Told {
  readonly stage: string;
  /** Who it is about, and since when. */
  readonly who: string;
  readonly since: string;
  readonly place: string;
  readonly reason: string;
  readonly stages: readonly string[];
  readonly job: string;
  readonly pair: string;
  readonly shoe: OneShoe;
  /** Whom to ask, in the site's words. */
  readonly ask: string;
}

const list = (names: readonly string[]): string =>
  names.length <= 3 ? names.join(', ') : `${names.slice(0, 3).join(', ')} and ${names.length - 3} more`;

const other = (shoe: OneShoe): OneShoe => (shoe === 'left' ? 'right' : 'left');

export const questionLines: Readonly<Record<Ask, (told: Told) => Line>> = {
  'open-by-another': ({ who, since }) => ({
    says: `${who} has it open since ${since}`,
    next: 'Is that work finished?',
  }),
  closed: () => ({ says: 'This pair has left the works', next: 'Is it back for more work?' }),
  'returned-in-parts': ({ ask }) => ({
    says: 'The owner has said stop',
    next: `It goes back in parts. Leave it as it is, and ask ${ask}`,
  }),
  'set-aside': ({ reason }) => ({ says: 'This pair is set aside', next: capital(reason) }),
  parted: ({ stage, shoe }) => ({
    says: `Only one shoe? The ${shoeNames[shoe]} one went alone`,
    next: `${stage} wants both together. Are both here?`,
  }),
  'which-shoe': ({ shoe }) => ({
    says: 'This pair is parted',
    next: `The ${shoeNames[shoe]} shoe went alone, the ${shoeNames[other(shoe)]} one waits. Which is here?`,
  }),
  'open-elsewhere': ({ place, who }) => ({
    says: `Open at ${place}`,
    next: `${who} has it clocked in there. Is it here now?`,
  }),
  'done-already': ({ stage, who, since }) => ({
    says: `${stage} is done already`,
    next: `${who === '' ? '' : `${who}, ${since}. `}Do it again?`,
  }),
  'not-on-route': ({ stage, job, ask }) => ({
    says: `${job} has no ${stage.toLowerCase()}`,
    next: `Wrong pair? If it needs it, ask ${ask} for a badge`,
  }),
  'owners-yes': ({ reason, ask }) => ({
    says: 'It waits for the owner’s yes',
    next: `${reason === '' ? '' : `${capital(reason)}. `}Put it by, or ask ${ask} for a badge`,
  }),
  'not-due': ({ stages, ask }) => ({
    says: `Not yet: no record of ${list(stages)}`,
    next: `Wrong pair, or done and not scanned? Otherwise ask ${ask} for a badge`,
  }),
  'not-released': ({ stage, ask }) => ({
    says: `You are not released for ${stage.toLowerCase()}`,
    next: `A released hand who answers for it scans a badge, or ask ${ask}`,
  }),
  'out-of-use': ({ reason, ask }) => ({
    says: 'This machine is out of use',
    next: `Do not run it: ${capital(reason)}. Ask ${ask}`,
  }),
  'last-held': ({ pair }) => ({
    says: `Its last is in ${inGroups(pair).join(' ')}`,
    next: 'Is this another pair of lasts of the same number?',
  }),
};

/** The answer that goes on, where there is one. */
export const yesLabels: Readonly<Partial<Record<Ask, string>>> = {
  'open-by-another': 'Finished',
  closed: 'Clock it in',
  'set-aside': 'Take it up again',
  'open-elsewhere': 'Clock in here too',
  'done-already': 'Do it again',
  'last-held': 'Another pair',
};

export const answerLabels = {
  takeOn: 'I take it on',
  beside: 'We work together',
  together: 'Both are here',
  left: 'Left',
  right: 'Right',
  late: 'Done, not scanned',
  ended: 'Finished there',
  onlyFound: 'Only found here',
};

/** What a named person said by tapping, as it stands in the record. */
export const lateWords = {
  notNeeded: 'said at the bench: this pair does not need it',
  needed: 'said at the bench: this pair needs it',
  machineBack: 'said at the bench: runs again',
};

/** What a supervisor, whose badge was scanned, is asked. */
export const supervisorLines = {
  title: (name: string): Line => ({ says: `${name}: let it through?`, next: 'Tap why' }),
  release: (name: string): Line => ({ says: `${name}: release the stop?`, next: 'Tap why' }),
};
