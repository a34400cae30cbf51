/**
 * Aldermoor Bench, the invented workshop: its stages, its benches and its people. Everybody and everything in
 * it is made up; the minutes are invented too and stand for no real workshop.
 */
import { siteRoutes, siteStages, siteWays } from '../src/domain/catalogue/site-start.ts';
import { STAGES } from '../src/domain/catalogue/stages.ts';
import { asSiteId, asStageCode, type StageCode } from '../src/domain/ids.ts';
import type { Job } from '../src/domain/record/kinds.ts';
import type { Role } from '../src/domain/site-book.ts';

export const SITE_ID = asSiteId('aldermoor');
export const SITE_NAME = 'Aldermoor Bench';
export const TIME_ZONE = 'Europe/London';
export const ASK = 'Ines Okafor, supervisor';

const codes = (text: string): readonly StageCode[] => (text === '' ? [] : text.split(' ').map(asStageCode));

/** Switched off here: done within a neighbouring stage, or by the office without a scan. */
const OFF = codes('REC WRP SEA SNA BRS SC2 EPL BSC UPL SOK LAC DSP');

/** The stages that this site books, in the order of the route; the owner's yes is the office's and has no bench. */
export const SITE_STAGES = STAGES.filter(({ code }) => !OFF.includes(code));
/** As its book has them. */
export const BOOK_STAGES = siteStages(SITE_STAGES);
export const ROUTES = siteRoutes(SITE_STAGES);
export const WAYS = siteWays(SITE_STAGES);
export const CLOSING_STAGE = asStageCode('BOX');
export const INSPECTION = asStageCode('TRI');
export const STRIPPING = asStageCode('PUL');
export const INSOLE = asStageCode('RIB');
export const CLEANING = asStageCode('CLN');
export const OWNERS_YES = asStageCode('OWN');

const BY_CODE = new Map(BOOK_STAGES.map((stage) => [stage.code, stage]));
export const hasMachine = (stage: StageCode): boolean => BY_CODE.get(stage)?.machine ?? false;
export const reminds = (stage: StageCode): boolean => BY_CODE.get(stage)?.reminds ?? false;

/** Where pairs stand that dry or wait. */
export const RACKS: readonly string[] = ['Rack 1', 'Rack 2', 'Rack 3', 'Drying rack'];

/** The one stage with too little time for what comes to it. */
export const TIGHT_STAGE = asStageCode('STI');

export interface BenchPlan {
  readonly key: string;
  readonly name: string;
  readonly stages: readonly StageCode[];
}

const bench = (key: string, name: string, stages: string): BenchPlan => ({
  key,
  name,
  stages: codes(stages),
});

export const BENCHES: readonly BenchPlan[] = [
  bench('receiving', 'Receiving', 'TRI CLN'),
  bench('stripping', 'Stripping', 'PUL'),
  bench('insole', 'Insole and closing', 'RIB CLO'),
  bench('lasting', 'Last room', 'FND LAS'),
  bench('welt', 'Welt sewing', 'WLT'),
  bench('inseam', 'Inseam and beating', 'INT BEA'),
  bench('bottoming', 'Shank and cork', 'SHK CRK'),
  bench('rough', 'Soles and heels', 'PRP HBL'),
  bench('laying', 'Laying and rounding', 'LAY RND'),
  bench('stitching', 'Sole stitching', 'STI'),
  bench('levelling', 'Levelling and slipping', 'LEV SLP'),
  bench('heeling', 'Heeling', 'HAT TOP'),
  bench('trimming', 'Scouring and trimming', 'SC1 ETR'),
  bench('edges', 'Edge finishing', 'EST WAX'),
  bench('finishing', 'Finishing', 'BST DET UCL'),
  bench('checking', 'Checking and boxing', 'CHK BOX'),
];

export type ShiftKey = 'early' | 'late';

export interface Person {
  readonly name: string;
  readonly role: Role;
  readonly shift: ShiftKey;
  /** The benches where this hand works and is released, the own one first; empty off the floor. */
  readonly benches: readonly string[];
  /** Of the usual minutes: 0.9 is quick, 1.15 is slow. */
  readonly pace: number;
  /** The machine stages on this hand's list; null where the site keeps none for it. */
  readonly released: readonly StageCode[] | null;
}

const hand = (name: string, shift: ShiftKey, benches: string, pace = 1, released?: string): Person => ({
  name,
  role: 'hand',
  shift,
  benches: benches.split(' '),
  pace,
  released: released === undefined ? null : codes(released),
});
const offFloor = (name: string, role: Role, shift: ShiftKey): Person => ({
  name,
  role,
  shift,
  benches: [],
  pace: 1,
  released: null,
});

export const PEOPLE: readonly Person[] = [
  hand('Marta Lindqvist', 'early', 'receiving checking'),
  hand('Owen Tarrant', 'early', 'stripping receiving', 0.95),
  hand('Priya Venkatraman', 'early', 'insole'),
  hand('Callum Ashdown', 'early', 'lasting', 1.05),
  hand('Bronagh Keaveney', 'early', 'welt inseam', 0.95),
  hand('Desmond Oyelaran', 'early', 'bottoming inseam'),
  hand('Halina Wronka', 'early', 'rough'),
  // An apprentice: rounds with a released hand beside him, and does not stitch yet.
  hand('Joe Pemberley', 'early', 'laying', 1.05, ''),
  hand('Tomasz Bielak', 'early', 'stitching', 1, 'RND STI'),
  hand('Nadia Rahimi', 'early', 'levelling bottoming'),
  hand('Gethin Prosser', 'early', 'heeling', 1.1),
  hand('Yusuf Karaman', 'early', 'trimming', 0.95, 'SC1 ETR'),
  hand('Ellen Stokoe', 'early', 'edges'),
  hand('Rafael Quintal', 'early', 'finishing', 1.05),
  hand('Siobhan Drury', 'early', 'checking'),
  hand('Kwame Ansah-Boyd', 'late', 'stripping insole'),
  hand('Lena Haverkamp', 'late', 'rough bottoming', 1.1),
  hand('Arjun Belliappa', 'late', 'trimming levelling', 1, 'SC1 ETR'),
  hand('Megan Thurlow', 'late', 'finishing', 0.9),
  hand('Viktor Sandu', 'late', 'heeling edges', 1.05),
  offFloor('Ines Okafor', 'supervisor', 'early'),
  offFloor('Peter Hallamore', 'supervisor', 'late'),
  offFloor('Ruth Castellan', 'office', 'early'),
  offFloor('Danny Mistrie', 'office', 'early'),
];

/** Least, usual and most minutes of a pair at a stage. */
type Minutes = readonly [least: number, usual: number, most: number];

const MINUTES: Readonly<Record<string, Minutes>> = {
  TRI: [5, 8, 14],
  CLN: [8, 14, 24],
  PUL: [16, 24, 38],
  RIB: [12, 18, 34],
  CLO: [16, 28, 50],
  FND: [2, 4, 8],
  LAS: [15, 21, 30],
  WLT: [16, 21, 30],
  INT: [7, 11, 16],
  BEA: [4, 6, 9],
  SHK: [5, 8, 12],
  CRK: [10, 15, 20],
  PRP: [13, 19, 28],
  LAY: [8, 11, 16],
  RND: [5, 7, 10],
  STI: [18, 25, 36],
  LEV: [8, 12, 18],
  SLP: [3, 4, 8],
  HBL: [12, 18, 26],
  HAT: [10, 14, 20],
  TOP: [8, 11, 16],
  SC1: [9, 14, 20],
  ETR: [13, 18, 26],
  EST: [5, 7, 11],
  WAX: [8, 12, 17],
  BST: [5, 8, 12],
  DET: [12, 17, 26],
  UCL: [12, 17, 26],
  CHK: [6, 9, 14],
  BOX: [4, 7, 10],
};

/** Smaller jobs take a share of a stage's minutes. */
const SHARES: Readonly<Record<string, Partial<Record<Job, number>>>> = {
  PUL: { HL: 0.3, HF: 0.5, LG: 0.7, RS: 0.75 },
  LAS: { LG: 0.6, RS: 0.6 },
  WLT: { RS: 0.4 },
  STI: { HF: 0.7 },
};

/** Minutes of a pair at a stage on this job. Throws on a stage that this site does not book. */
export function minutesAt(stage: StageCode, job: Job): Minutes {
  const minutes = MINUTES[stage];
  if (minutes === undefined) throw new RangeError(`${SITE_NAME} does not book ${stage}`);
  const share = SHARES[stage]?.[job] ?? 1;
  return [minutes[0] * share, minutes[1] * share, minutes[2] * share];
}

/** Stages at which a whole rack is clocked in and worked together. */
export const RACK_STAGES = codes('CLN EST BST');
export const RACK_PAIRS_MAX = 4;
