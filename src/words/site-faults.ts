/** Why a change to the site's book cannot stand, in plain words, and what to do. */
import type { StageCode } from '../domain/ids.ts';
import type { Job } from '../domain/record/kinds.ts';
import type { SiteBook, Ways } from '../domain/site-book.ts';
import type { SiteFault } from '../domain/site-change-faults.ts';
import { stageName } from '../domain/site-change-stages.ts';
import { count } from './format.ts';
import type { Line } from './line.ts';
import { jobNames } from './names.ts';
import { dayWithYear, wayNames } from './site.ts';

const partNames: Readonly<Record<Exclude<keyof Ways, 'together' | 'colour'>, string>> = {
  receive: 'where a pair is booked in',
  inspect: 'where it is looked over',
  owner: 'the owner’s yes',
  lastFrom: 'where the last is taken',
  lastTo: 'where the last is freed',
  check: 'the final check',
  box: 'where the pair is boxed',
};

const whats: Readonly<Record<Extract<SiteFault, { fault: 'text-empty' }>['what'], string>> = {
  stage: 'The name of the stage',
  plain: 'What the owner is told',
  rack: 'The name of the rack',
  reminder: 'The reminder',
  author: 'The name of whoever words it',
};

/** Why a change cannot stand, and what to do. */
export function siteFaultLine(fault: SiteFault, book: SiteBook): Line {
  const name = (stage: StageCode) => stageName(book, stage);
  switch (fault.fault) {
    case 'ring':
      return {
        says: `These would wait for each other: ${ringInWords(fault.stages.map(name))}`,
        next: 'Take one of these needs away first',
      };
    case 'needs-unknown':
      return {
        says: `${name(fault.stage)} needs ${name(fault.needs)}, which is not among this site’s stages`,
        next: 'Add that stage, or take the need away',
      };
    case 'stage-unknown':
      return { says: `${name(fault.stage)} is not among this site’s stages`, next: 'Bring it back first' };
    case 'after-closing':
      return {
        says: `${name(fault.stage)} would come after ${name(fault.closing)}, which closes the pair: it could never be due on a ${jobWord(fault.job)}`,
        next: 'Let it come earlier',
      };
    case 'no-job-takes':
      return {
        says: `No kind of job would take ${name(fault.stage)}`,
        next: 'Say for at least one job that it is done',
      };
    case 'closing':
      return {
        says: `${name(fault.stage)} closes the pair, so every kind of job always takes it`,
        next: 'Another closing stage is set by whoever looks after the server',
      };
    case 'open-pairs':
      return {
        says: `${count(fault.pairs, 'pair')} ${fault.pairs === 1 ? 'is' : 'are'} clocked in at ${name(fault.stage)}`,
        next: 'Wait until they are clocked out, then try again',
      };
    case 'code-taken':
      return {
        says: `The code ${fault.stage} stands for ${name(fault.stage)}`,
        next: 'Take another code, or bring that stage back',
      };
    case 'code-form':
      return {
        says: 'A code has 2 to 8 letters and figures and begins with a letter',
        next: 'Take another code',
      };
    case 'text-empty':
      return { says: `${whats[fault.what]} is empty`, next: 'Write it first' };
    case 'text-long':
      return {
        says: `${whats[fault.what]} has ${fault.length} characters, ${fault.most} at most`,
        next: 'Make it shorter',
      };
    case 'text-form':
      return { says: `${whats[fault.what]} is more than one line`, next: 'Write it on one line' };
    case 'name-taken':
      return { says: `There is a “${fault.name}” already`, next: 'Take another name' };
    case 'wait':
      return {
        says: `The shortest wait, ${fault.least} min, is longer than the longest, ${fault.most} min`,
        next: 'Put one of them right',
      };
    case 'wait-long':
      return { says: `A wait has ${fault.days} days at most`, next: 'Make it shorter' };
    case 'has-way':
      return {
        says: `${name(fault.stage)} is ${partName(fault.way)}`,
        next: 'Choose another stage for that first',
      };
    case 'way-unknown':
      return {
        says: `${name(fault.stage)} is not among this site’s stages`,
        next: 'Choose a stage of the routes',
      };
    case 'lasts-half':
      return {
        says: 'A last that is taken must be freed, and the other way round',
        next: 'Choose both stages, or neither',
      };
    case 'lasts-order':
      return {
        says: `${name(fault.to)} does not come after ${name(fault.from)}, so the last would be freed before it is taken`,
        next: 'Choose stages that follow each other',
      };
    case 'reminder-unknown':
      return { says: `There is no reminder ${fault.line}`, next: 'Load the page anew' };
    case 'claims-safety':
      return {
        says: `“${fault.words}” says that nothing can happen`,
        next: 'A reminder says what to do or what to mind. Leave that to the site’s risk assessment',
      };
    case 'review-past':
      return {
        says:
          fault.review === '' ? 'No day of review is given' : `${dayWithYear(fault.review)} is in the past`,
        next: 'Choose today or a later day',
      };
    case 'operative-unknown':
      return { says: 'The site does not know this hand any more', next: 'Load the page anew' };
    case 'no-machine':
      return {
        says: `${name(fault.stage)} is not done on a machine, so nobody has to be released for it`,
        next: 'Mark it as a machine stage first',
      };
    case 'rack-unknown':
      return { says: 'This rack is not in the site’s book any more', next: 'Load the page anew' };
    case 'rack-taken':
      return { says: `${fault.rack} is a rack already`, next: 'Add it again: another code is drawn' };
    case 'rack-form':
      return { says: `${fault.rack} is no rack’s code`, next: 'Add it again: another code is drawn' };
    case 'too-many':
      return {
        says: `There are ${fault.most} ${manyNames[fault.what]}, and no more can be kept`,
        next:
          fault.what === 'versions'
            ? 'Make room once the oldest is a year old, and tell whoever looks after the server'
            : 'Take one away first',
      };
  }
}

const manyNames: Readonly<Record<Extract<SiteFault, { fault: 'too-many' }>['what'], string>> = {
  stages: 'stages',
  needs: 'needs',
  racks: 'racks',
  wordings: 'wordings',
  versions: 'versions of the routes',
};

function partName(way: keyof Ways): string {
  return way === 'together' || way === 'colour' ? wayNames[way] : partNames[way];
}

const jobWord = (job: Job) => jobNames[job].toLowerCase();

/** `Sole laying waits for Rough rounding, and Rough rounding for Sole laying`. */
function ringInWords(names: readonly string[]): string {
  if (names.length === 1) return `${names[0]} for itself`;
  return names
    .map((one, index) => {
      const next = names[(index + 1) % names.length];
      if (index === 0) return `${one} for ${next}`;
      return `${index === names.length - 1 ? 'and ' : ''}${one} for ${next}`;
    })
    .join(', ');
}
