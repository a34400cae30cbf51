/** Every sentence of what a supervisor has to look at on the live page, and of machines out of use. */
import type { OneShoe } from '../domain/record/kinds.ts';
import { calendarDay, count } from './format.ts';
import { shoeNames } from './names.ts';

export const lookWords = {
  title: 'To look at',
  nothing: 'Nothing.',
  parted: (shoe: OneShoe, since: string) => `The ${shoeNames[shoe]} shoe has gone alone since ${since}`,
  reviews: (reviews: number) => `${count(reviews, 'reminder')} to be reviewed`,
  oldest: (day: string) => `the oldest since ${calendarDay(day)}`,
  more: (pairs: number) => `and ${count(pairs, 'pair')} more`,
};

export const machineWords = {
  title: 'Machines out of use',
  none: 'None is said to be out of use.',
  machine: (stage: string, bench: string) => `${stage}, ${bench}`,
  since: (hand: string, since: string) => `${hand}, since ${since}`,
  back: 'In use again',
  stop: 'Take one out of use',
  which: 'Which machine',
  whyOut: 'What is wrong with it, in a line',
  whyBack: 'What was done to it, in a line',
  outHint:
    'Every bench is told. Hang a tag on the machine itself: whoever stands there may not look at a tablet.',
  backHint:
    'Only after somebody competent has tried it: what the machine’s manual and the site’s rules want comes first.',
  whyMissing: 'Say it in a line first.',
  chooseFirst: 'Choose the machine first.',
  onlySupervisor: 'A supervisor at the desk can take a machine out of use, and say that it runs again.',
  made: { out: 'Recorded: out of use.', back: 'Recorded: in use again.' },
};
