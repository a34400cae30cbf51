import type { StageCode } from '../../domain/ids.ts';
import { routesToChange } from '../../domain/site-change-routes.ts';
import { stageName } from '../../domain/site-change-stages.ts';
import type { SiteDrafting } from './site-drafting.ts';

/** Every stage of the routes, to choose one. */
export function StageOptions({
  drafting,
  except = [],
}: {
  drafting: SiteDrafting;
  except?: readonly StageCode[];
}) {
  return (
    <>
      {routesToChange(drafting.book)
        .steps.filter(({ stage }) => !except.includes(stage))
        .map(({ stage }) => (
          <option key={stage} value={stage}>
            {stageName(drafting.book, stage)}
          </option>
        ))}
    </>
  );
}
