/** Why a pair is set aside, in the words that a bench offers and the record then holds: short, and never about a person. */
export const SET_ASIDE = {
  part: 'Waits for a part',
  last: 'Waits for its last',
  wet: 'Still wet or setting',
  skill: 'Needs a skilled hand',
  machine: 'Machine out of use',
  office: 'Ask the office',
} as const;
