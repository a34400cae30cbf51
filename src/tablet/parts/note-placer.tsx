/** A new note in two touches: the place on the shoe, then what it is. What the catalogue says of it comes along. */
import { useState } from 'preact/hooks';
import '../../parts/drawings.css';
import { DEFECTS, type Defect } from '../../domain/catalogue/defects.ts';
import { ZONES } from '../../domain/catalogue/zones.ts';
import { type PickedZone, ShoeOutline } from '../../parts/shoe-outline.tsx';
import type { ShoeView } from '../../parts/shoe-paths.ts';
import { noteWords } from '../../words/choices.ts';
import { shoeNames, weightNames } from '../../words/names.ts';
import type { Acts } from '../app/acts.ts';

const VIEWS: readonly ShoeView[] = ['bottom', 'outside', 'inside'];

export function NotePlacer({ acts }: { readonly acts: Acts }) {
  const [view, setView] = useState<ShoeView>('bottom');
  const [picked, setPicked] = useState<PickedZone | null>(null);
  if (picked !== null) return <WhatIsIt picked={picked} acts={acts} onBack={() => setPicked(null)} />;
  return (
    <section class="placer drawn" aria-label={noteWords.where}>
      <div class="shoe-choice">
        {VIEWS.map((one) => (
          <button
            key={one}
            type="button"
            class="button"
            aria-pressed={one === view}
            onClick={() => setView(one)}
          >
            {noteWords.views[one]}
          </button>
        ))}
        {(['left', 'right'] as const).map((shoe) => (
          <button
            key={shoe}
            type="button"
            class="button"
            onClick={() => setPicked({ zone: WHOLE, shoe, side: null })}
          >
            {noteWords.whole(shoeNames[shoe])}
          </button>
        ))}
      </div>
      <div class="placer-drawing">
        <ShoeOutline view={view} marks={[]} onZone={setPicked} />
      </div>
    </section>
  );
}

/** No place on a drawing: the whole shoe, or what only the strip-down shows. */
const WHOLE = '';

interface WhatProps {
  readonly picked: PickedZone;
  readonly acts: Acts;
  readonly onBack: () => void;
}

function WhatIsIt({ picked, acts, onBack }: WhatProps) {
  const zone = ZONES.find(({ id }) => id === picked.zone);
  const drawn = new Set(
    ZONES.filter(({ view }) => view !== 'opened' && view !== 'inside-shoe').map(({ id }) => id),
  );
  const here = DEFECTS.filter(({ zones }) =>
    zone === undefined
      ? zones.length === 0 || zones.some((id) => !drawn.has(id))
      : zones.some((id) => id === zone.id),
  );
  const place =
    zone === undefined ? noteWords.whole(shoeNames[picked.shoe]) : `${shoeNames[picked.shoe]}, ${zone.name}`;
  return (
    <section class="placer" aria-label={noteWords.what}>
      <p class="placed">
        {place}
        <button type="button" class="button" onClick={onBack}>
          {noteWords.elsewhere}
        </button>
      </p>
      <ul class="choices">
        {here.map((defect) => (
          <li key={defect.id}>
            <button type="button" class="button defect" onClick={() => acts.note(noteOf(defect, picked))}>
              {defect.name}
              <small>
                {weightNames[defect.usualWeight]} · {defect.test}
              </small>
            </button>
          </li>
        ))}
      </ul>
    </section>
  );
}

function noteOf(defect: Defect, { zone, shoe, side }: PickedZone) {
  return {
    shoe,
    zone: zone === WHOLE ? (defect.zones[0] ?? null) : zone,
    side,
    defect: defect.id,
    weight: defect.usualWeight,
    text: defect.name,
    // Whoever is to cure it has to see it, or nobody at that stage would know of it.
    seeAt: [...new Set([...defect.seeAt, ...defect.cureAt])],
    cureAt: defect.cureAt,
  };
}
