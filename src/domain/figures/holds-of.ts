/** What kept a pair from going on, and from when to when, told by its records in their order. */
import type { RecordId, StageCode } from '../ids.ts';
import type { LedgerRecord } from '../record/kinds.ts';
import type { HoldFacts, StayFacts } from './facts.ts';
import { happenedAt, type Standing } from './standing.ts';

type Why = HoldFacts['why'];

/** What holds now, by the records in force; the fold has the same rules. */
interface InForce {
  logged: boolean;
  setAside: boolean;
  /** `wanted`: nobody has asked, but the stage of the owner's yes was asked for. */
  owner: 'not-asked' | 'wanted' | 'asked' | 'stopped' | 'given';
  readonly stopNotes: Set<RecordId>;
  parted: boolean;
}

/**
 * @param stays of the same pair: nothing is held that has left
 * @param yes the stage of the owner's yes; null where the site has none
 */
export function holdsOf(
  standing: Standing,
  stays: readonly StayFacts[],
  yes: StageCode | null,
): readonly HoldFacts[] {
  const inForce: InForce = {
    logged: false,
    setAside: false,
    owner: 'not-asked',
    stopNotes: new Set(),
    parted: false,
  };
  const open = new Map<Why, Pick<HoldFacts, 'why' | 'from' | 'begunBy'>>();
  const holds: HoldFacts[] = [];
  for (const record of standing.records) {
    apply(inForce, record, yes);
    const at = happenedAt(record, standing);
    for (const [why, holding] of held(inForce)) {
      const begun = open.get(why);
      if (holding && begun === undefined) open.set(why, { why, from: at, begunBy: record.id });
      if (holding || begun === undefined) continue;
      open.delete(why);
      holds.push({ ...begun, to: at, endedBy: record.id });
    }
  }
  for (const begun of open.values()) holds.push({ ...begun, to: null, endedBy: null });
  return holds.flatMap((hold) => whileHere(hold, stays)).sort((a, b) => a.from - b.from);
}

/** What of it falls into the stays. What ended before it began, since a clock or a supervisor says so, held nobody up. */
function whileHere(hold: HoldFacts, stays: readonly StayFacts[]): readonly HoldFacts[] {
  return stays.flatMap(({ from, to }) => {
    const begins = hold.from >= from.at ? hold : { from: from.at, begunBy: from.record };
    const ends =
      to === null || (hold.to !== null && hold.to <= to.at) ? hold : { to: to.at, endedBy: to.record };
    if (ends.to !== null && ends.to <= begins.from) return [];
    const { begunBy } = begins;
    return [{ why: hold.why, from: begins.from, to: ends.to, begunBy, endedBy: ends.endedBy }];
  });
}

function held({ setAside, owner, stopNotes, parted }: InForce): readonly (readonly [Why, boolean])[] {
  return [
    ['set-aside', setAside],
    ['owner', owner !== 'not-asked' && owner !== 'given'],
    ['stop-note', stopNotes.size > 0],
    ['parted', parted],
  ];
}

function apply(inForce: InForce, record: LedgerRecord, yes: StageCode | null): void {
  const unasked = inForce.owner === 'not-asked' || inForce.owner === 'wanted';
  switch (record.kind) {
    case 'pair-logged':
      // Logged twice, the first holds.
      if (unasked && !inForce.logged && record.yes === 'to-ask') inForce.owner = 'asked';
      if (unasked && !inForce.logged && record.yes === 'given') inForce.owner = 'given';
      inForce.logged = true;
      break;
    case 'owner-asked':
      if (inForce.owner !== 'stopped') inForce.owner = 'asked';
      break;
    case 'owner-answered':
      inForce.owner = record.answer === 'stop' ? 'stopped' : 'given';
      break;
    case 'stage-asked':
      if (unasked && yes !== null && record.stages.includes(yes)) inForce.owner = 'wanted';
      break;
    case 'not-needed':
      if (inForce.owner === 'wanted' && record.stage === yes) inForce.owner = 'not-asked';
      break;
    case 'set-aside':
      inForce.setAside = true;
      break;
    case 'taken-up':
    case 'clocked-in':
      inForce.setAside = false;
      break;
    case 'parted':
      inForce.parted = true;
      break;
    case 'rejoined':
      inForce.parted = false;
      break;
    case 'noted':
      if (record.weight === 'stop') inForce.stopNotes.add(record.id);
      break;
    case 'note-cured':
    case 'note-released':
      inForce.stopNotes.delete(record.note);
      break;
    default:
      break;
  }
}
