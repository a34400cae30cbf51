/** What the desk calls whatever the records leave in doubt. No bench reads these, so no bench loads them. */
import type { FlagKind } from '../domain/fold/pair-state.ts';
import type { LookedInto, PutRightKind } from '../domain/record/kinds.ts';

export const flagNames: Readonly<Record<FlagKind, string>> = {
  'never-logged': 'scanned, but never logged',
  'logged-twice': 'logged twice',
  'amended-apart': 'put right twice apart',
  'answered-apart': 'the owner’s answer written twice, and not alike',
  'open-at-two-benches': 'open at two benches',
  'out-without-in': 'clocked out, never in',
  'out-twice': 'clocked out twice',
  'hand-without-spell': 'second hand at no work',
  'time-without-spell': 'a time given to no work',
  'time-backwards': 'times given that cross',
  'void-of-nothing': 'takes back an unknown record',
  'work-after-closing': 'worked after it left',
  'note-unknown': 'about an unknown note',
  'clock-doubtful': 'clock doubtful',
};

/** What a supervisor finds on the list of what is to be put right, in few words. */
export const putRightNames: Readonly<Record<PutRightKind, string>> = {
  ...flagNames,
  'left-open': 'still clocked in',
  'end-unknown': 'end not known',
  'hand-at-two-benches': 'one hand at two benches',
  'out-of-order': 'out of order',
  'no-hand': 'nobody badged on',
};

export const lookedIntoNames: Readonly<Record<LookedInto, string>> = {
  ...putRightNames,
  'learners-work': 'an apprentice’s work',
};
