/** Which stages have a part in a pair's way: the owner's yes, the last, the check, the box, and where shoes are matched. */
import type { StageCode } from './ids.ts';
import { JOBS } from './record/kinds.ts';
import { redoFrom } from './route.ts';
import type { Ways } from './site-book.ts';
import { type Outcome, type SiteDraft, withBook } from './site-change-draft.ts';
import type { SiteFault } from './site-change-faults.ts';
import type { ChangeOf } from './site-change-kinds.ts';
import { hasStage } from './site-change-routes.ts';
import { routeOfJob } from './site-routes.ts';

export function setWays(draft: SiteDraft, { ways }: ChangeOf<'set-ways'>): Outcome<SiteDraft> {
  const faults = [...unknownIn(draft, ways), ...lastsFaults(draft, ways)];
  if (faults.length > 0) return { faults };
  const once = (codes: readonly StageCode[]) => [...new Set(codes)];
  return withBook(draft, {
    ways: { ...ways, together: once(ways.together), colour: once(ways.colour) },
  });
}

function unknownIn({ routes }: SiteDraft, ways: Ways): readonly SiteFault[] {
  return (Object.keys(ways) as (keyof Ways)[]).flatMap((way) => {
    const named = ways[way];
    const codes = named === null ? [] : Array.isArray(named) ? named : [named];
    return codes
      .filter((stage) => !hasStage(routes, stage))
      .map((stage) => ({ fault: 'way-unknown' as const, stage, way }));
  });
}

/** A last that is taken must be freed, and later than it was taken, on every job that does both. */
function lastsFaults({ routes }: SiteDraft, { lastFrom, lastTo }: Ways): readonly SiteFault[] {
  if (lastFrom === null && lastTo === null) return [];
  if (lastFrom === null || lastTo === null) return [{ fault: 'lasts-half' }];
  const inOrder = JOBS.every((job) => {
    const route = routeOfJob({ version: 1, since: 0, ...routes }, job);
    const both = [lastFrom, lastTo].every((code) => route.some(({ stage }) => stage === code));
    return !both || redoFrom(route, lastFrom).has(lastTo);
  });
  return lastFrom !== lastTo && inOrder ? [] : [{ fault: 'lasts-order', from: lastFrom, to: lastTo }];
}
