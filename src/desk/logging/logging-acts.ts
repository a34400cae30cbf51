/** From a draft without problems to the records that log the pair in, all made in one go. */
import { defectById } from '../../domain/catalogue/defects.ts';
import type { PairId, StageCode } from '../../domain/ids.ts';
import { routesNow, type SiteBook } from '../../domain/site-book.ts';
import { whys } from '../../words/logging.ts';
import type { Act } from '../office.ts';
import { conditionsOf, needIn, noteText, stagesProposed, triageOf, yesOf } from './decisions.ts';
import type { Surroundings } from './draft-problems.ts';
import { asLine, type DraftNote, type LoggingDraft } from './logging-draft.ts';

/**
 * The acts, the logging first.
 * @throws RangeError where the draft has no job or no day: `problemsOf` was not asked
 */
export function loggingActs(draft: LoggingDraft, pair: PairId, around: Surroundings): readonly Act[] {
  const { book, usualDay } = around;
  const { job } = draft;
  const promised = draft.promised ?? usualDay;
  if (job === null || promised === null) throw new RangeError('a draft with problems cannot be logged in');
  const found = triageOf(draft);
  const yes = yesOf(draft, found);
  const { ownerRef, style, last, size, fitting, maker, asked } = draft;
  const logged: Act = {
    kind: 'pair-logged',
    said: {
      pair,
      job,
      ownerRef: asLine(ownerRef),
      style: asLine(style),
      last: asLine(last),
      size: asLine(size),
      fitting: asLine(fitting),
      promised,
      maker: asLine(maker) || null,
      asked: asLine(asked) || null,
      withPair: draft.withPair.map(asLine).filter((thing) => thing !== ''),
      condition: conditionsOf(draft.condition),
      route: routesNow(book)?.version ?? null,
      yes,
    },
  };
  const wanted = stagesProposed(job, found, book).filter((stage) => !draft.stagesLeft.includes(stage));
  const owner = book.ways.owner;
  const ownersStage = owner !== null && yes !== 'not-wanted' && needIn(book, job, owner) !== 'always';
  const stages = [...wanted, ...(ownersStage ? [owner] : [])];
  const without = owner !== null && yes === 'not-wanted' && needIn(book, job, owner) === 'always';
  return [
    logged,
    ...draft.notes.map((note) => noteAct(note, pair, book)),
    ...(stages.length > 0
      ? [{ kind: 'stage-asked', said: { pair, stages, note: null, why: whys.stages } } satisfies Act]
      : []),
    // Said by whoever logs the pair in: otherwise every bench would wait for an answer that nobody asks for.
    ...(without ? [{ kind: 'not-needed', said: { pair, stage: owner, why: whys.noYes } } satisfies Act] : []),
    ...draft.photos.map((picture): Act => ({ kind: 'pictured', said: { pair, ...picture, note: null } })),
  ];
}

/** Where a note must be seen and can be cured comes from the catalogue, as far as the site does those stages. */
function noteAct(note: DraftNote, pair: PairId, book: SiteBook): Act {
  const { shoe, zone, side, defect, weight } = note;
  const known = defect === null ? undefined : defectById(defect);
  const here = (stages: readonly StageCode[] = []) =>
    stages.filter((stage) => book.stages.some(({ code }) => code === stage));
  return {
    kind: 'noted',
    said: {
      pair,
      shoe,
      zone,
      side,
      defect,
      weight,
      text: noteText(note, asLine(note.text)),
      seeAt: here(known?.seeAt),
      cureAt: here(known?.cureAt),
    },
  };
}
