/** What follows from a draft: the proposal, and what is usual until somebody decides otherwise. */
import { defectById } from '../../domain/catalogue/defects.ts';
import type { StageCode } from '../../domain/ids.ts';
import type { Job, ShoeCondition } from '../../domain/record/kinds.ts';
import { routesNow, type SiteBook } from '../../domain/site-book.ts';
import { needOf, type StepNeed } from '../../domain/site-routes.ts';
import { type Conditions, type Triage, triage } from '../../domain/triage.ts';
import type { DraftNote, LoggingDraft, Yes } from './logging-draft.ts';

type Entered = Pick<LoggingDraft, 'notes' | 'condition'>;

/** Null while nothing that counts has been entered. */
export function triageOf({ notes, condition }: Entered): Triage | null {
  const conditions = conditionsOf(condition);
  if (notes.length === 0 && conditions === null) return null;
  const findings = notes.map(({ key, shoe, zone, side, defect, weight }) => ({
    defect,
    shoe,
    weight,
    zone,
    side,
    note: String(key),
  }));
  return triage(findings, conditions);
}

/** Null unless all of it has been said. */
export function conditionsOf({ left, right }: LoggingDraft['condition']): Conditions | null {
  const [one, other] = [whole(left), whole(right)];
  return one === null || other === null ? null : { left: one, right: other };
}

function whole({ sole, welt, heel }: LoggingDraft['condition']['left']): ShoeCondition | null {
  return sole === null || welt === null || heel === null ? null : { sole, welt, heel };
}

/** The owner's yes: as chosen; else a heel can do without it, unless something found asks the owner. */
export function yesOf({ yes, job }: Pick<LoggingDraft, 'yes' | 'job'>, found: Triage | null): Yes {
  if (yes !== null) return yes;
  const asks = found?.alsoAsk.some(({ asks }) => asks === 'owner') ?? false;
  return job === 'HL' && !asks ? 'not-wanted' : 'to-ask';
}

/**
 * Stages that the findings ask for and the chosen job does not always take. The owner's yes is not among them: it has
 * an answer of its own.
 */
export function stagesProposed(job: Job, found: Triage | null, book: SiteBook): readonly StageCode[] {
  if (found === null) return [];
  const asked = new Set([...found.stagesAsked, ...found.reasons.flatMap(({ stages }) => stages)]);
  return book.stages
    .map(({ code }) => code)
    .filter(
      (stage) => asked.has(stage) && stage !== book.ways.owner && needIn(book, job, stage) !== 'always',
    );
}

/** How far the site's present routes take a stage; a site without routes takes every stage it has. */
export function needIn(book: SiteBook, job: Job, stage: StageCode): StepNeed {
  const routes = routesNow(book);
  return routes === null ? 'always' : needOf(routes, job, stage);
}

/** What the note says: the catalogue's words, and what somebody added. */
export function noteText({ defect, text }: Pick<DraftNote, 'defect' | 'text'>, added: string = text): string {
  const name = defect === null ? undefined : defectById(defect)?.name;
  if (name === undefined) return added;
  return added === '' ? name : `${name}: ${added}`;
}
