/** What can be recorded about a pair from the page that says where it is. */
import type { Job } from '../domain/record/kinds.ts';
import { count } from './format.ts';
import { jobNames } from './names.ts';
import { detailNames } from './whereabouts-account.ts';

export const actNames = {
  ask: 'Ask the owner',
  answer: 'Record the owner’s answer',
  'hand-back': 'Given back in parts',
  amend: 'Put details right',
  'not-needed': 'A stage is not needed',
  'ask-stage': 'Ask for a stage',
  release: 'Release a stop note',
  reprint: 'Second ticket',
  'take-back': 'Logged by mistake',
} as const;
export type ActName = keyof typeof actNames;

export const actWords = {
  title: 'To record',
  nobody: 'Nobody is at the desk. Say who you are at the top of the page, then it can be recorded.',
  record: 'Record',
  recordAndPrint: 'Record and print',
  recording: 'Recording',
  close: 'Close',
  made: (act: ActName) => `Recorded: ${made[act]}.`,
  notMade: 'Nothing was recorded. Try again.',
  printAgain: 'Print it again',
  notPrinted: 'It is recorded, but nothing was printed.',
  printing: 'Printing',

  why: 'Why, in a line',
  whyMissing: 'Say why in a line first.',
  chooseFirst: 'Choose one first.',
  nothingChanged: 'Nothing is changed yet.',
  empty: (field: keyof typeof detailNames) => `The ${detailNames[field]} is empty.`,
  neverLogged: 'The pair was never logged. Log it in first.',

  askNote: 'Because of a note',
  noNote: 'no note',
  answer: 'The owner says',
  answers: {
    'go-on': 'Go on',
    'go-on-cheaper': 'Go on, but cheaper',
    stop: 'Stop, and return in parts',
  } as const,
  ownersWords: 'The owner’s own words, if they matter',
  job: 'Kind of job',
  promised: 'Promised for',
  newPromise: 'The promise is given anew with the answer.',
  dayMissing: 'Say for which day it is promised.',
  stage: 'Stage',
  note: 'Stop note',
  onlySupervisor: 'Only a supervisor releases a stop note.',
  noStop: 'No stop note stands.',
  noStopSaid: 'The owner has not said stop, or the pair has left already.',
  handBackHow: 'How it went back, in a line',
  handBackHowMissing: 'Say how it went back first: fetched, sent, by whom.',
  handBackHint: (last: string | null) =>
    last === null
      ? 'The pair then counts as gone out, unfinished.'
      : `The pair then counts as gone out, unfinished. Take it off last ${last} first: the last is free for the next pair.`,
  stopped: 'The owner has said stop: nothing more is asked.',
  reprintWhys: { lost: 'The first is lost', spoiled: 'The first is spoiled' } as const,
  reprintHint: 'It has the same number and is marked as the second. Take the first away if it turns up.',
  takeBackHint: (stages: number) =>
    stages === 0
      ? 'The logging stays in the account, taken back.'
      : `Work is recorded on it (${count(stages, 'stage')}). That stays, and the pair then counts as never logged.`,
  whichLogging: 'Which logging',
  details: detailNames,
};

const made: Readonly<Record<ActName, string>> = {
  ask: 'the owner is to be asked',
  answer: 'the owner’s answer',
  'hand-back': 'the pair is given back and has left the works',
  amend: 'details put right',
  'not-needed': 'the stage is not needed',
  'ask-stage': 'the stage is asked for',
  release: 'the stop note is released',
  reprint: 'a second ticket',
  'take-back': 'the logging is taken back',
};

/** What another kind of job comes to, stage by stage. */
export function jobChangeLines(change: {
  readonly job: Job;
  readonly added: readonly string[];
  readonly dropped: readonly string[];
  readonly kept: readonly string[];
}): readonly string[] {
  const { job, added, dropped, kept } = change;
  const lines = [
    added.length === 0 ? `${jobNames[job]} adds no stage.` : `${jobNames[job]} adds: ${added.join(', ')}.`,
  ];
  if (dropped.length > 0) lines.push(`No longer needed: ${dropped.join(', ')}.`);
  lines.push(kept.length === 0 ? 'Nothing is done yet.' : `Done, and stays done: ${kept.join(', ')}.`);
  return lines;
}
