/** What is forbidden: ink on white, under the red bar. */
import { SIGN } from './colours.ts';
import { Glove } from './figures.tsx';

const { ink, white } = SIGN;

/** The ring and the bar alone say it. */
export const MustNotBeDone = () => null;

/** A burning match. */
export const NoOpenFlame = () => (
  <>
    <path
      fill={ink}
      d="M53 14c2 8 12 14 12 25 0 9-6 14-14 14s-14-5-14-13c0-6 4-9 5-15 3 2 4 4 4 6 4-4 7-9 7-17z"
    />
    <path fill={white} d="M52 36c2 3 4 5 4 8 0 4-2 6-5 6s-5-2-5-5c0-4 4-5 6-9z" />
    <path fill={ink} d="M47 56h8v30h-8z" />
  </>
);

export const NoGloves = () => <Glove fill={ink} />;
