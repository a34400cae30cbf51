/** What may hurt: ink on a yellow triangle. The field left by the triangle runs from 20 to 80 at y = 84, and to a point at y = 20. */
import { SIGN } from './colours.ts';
import { Exclamation, Flame, Glove } from './figures.tsx';

const { ink, yellow } = SIGN;

export const TakeCare = () => (
  <g transform="matrix(.84 0 0 .84 8 5)">
    <Exclamation fill={ink} top={32} />
  </g>
);

/** Heat rises from a plate. */
export const HotSurface = () => (
  <>
    <path
      fill="none"
      stroke={ink}
      stroke-width="5.5"
      stroke-linecap="round"
      d="M37 68q-6-6 0-12t0-12M50 68q-6-7 0-14t0-14M63 68q-6-6 0-12t0-12"
    />
    <path fill={ink} d="M24 74h52v8H24z" />
  </>
);

export const Flammable = () => (
  <g transform="matrix(.95 0 0 .92 2 1)">
    <Flame fill={ink} hollow={yellow} />
  </g>
);

/** A bare blade, and what it draws. */
export const Sharp = () => (
  <>
    <path fill={ink} d="M45 59V28q12 13 12 31zM43 62h16v4H43zM46 69h10v8q0 3-5 3t-5-3z" />
    <path fill={ink} d="M69 60c4 5 6 8 6 11a6 6 0 0 1-12 0c0-3 2-6 6-11z" />
  </>
);

/** A press comes down on a hand that lies on its table. */
export const HandCrush = () => (
  <>
    <path fill={ink} d="M46 28h8v9h7L50 49 39 37h7zM36 50h28v5H36z" />
    <path fill={ink} d="M76 72H53q-5 0-7-4H32q-5 0-5-4t5-4l20-1q4-1 8 1h10z" />
    <path fill={ink} d="M22 75h56v6H22z" />
  </>
);

/** Two turning rollers and the hand that they take. */
export const DrawsIn = () => (
  <>
    <g transform="rotate(180 50 45) translate(50 45) scale(.44) translate(-54 -51)">
      <Glove fill={ink} />
    </g>
    <circle cx="34" cy="69" r="13" fill={ink} />
    <circle cx="66" cy="69" r="13" fill={ink} />
    <path fill="none" stroke={yellow} stroke-width="4" d="M31 75.5A7 7 0 1 1 41 69M69 75.5A7 7 0 1 0 59 69" />
    <path fill={yellow} d="M36 68h10l-5 7zM54 68h10l-5 7z" />
  </>
);
