/** What is to be done: white on a blue disc. */
import { SIGN } from './colours.ts';
import { Bust, Exclamation, Glove } from './figures.tsx';

const { white, blue } = SIGN;

export const MustBeDone = () => <Exclamation fill={white} top={23} />;

/** An open book, its lines to be read. */
export const ReadManual = () => (
  <>
    <path fill={white} d="M47 34c-7-6-18-8-29-6v41c11-2 22 0 29 6zM53 34c7-6 18-8 29-6v41c-11-2-22 0-29 6z" />
    <path
      fill="none"
      stroke={blue}
      stroke-width="4"
      stroke-linecap="round"
      d="M25 39q9-1 15 3M25 49q9-1 15 3M25 59q9-1 15 3M75 39q-9-1-15 3M75 49q-9-1-15 3M75 59q-9-1-15 3"
    />
  </>
);

export const WearHearingProtection = () => (
  <>
    <Bust fill={white} />
    <path fill="none" stroke={blue} stroke-width="13" d="M26 44a24 30 0 0 1 48 0" />
    <path fill="none" stroke={white} stroke-width="6" d="M24 44a26 32 0 0 1 52 0" />
    <path
      fill={white}
      stroke={blue}
      stroke-width="4"
      d="M17 34h13q4 0 4 5v14q0 5-4 5H17q-4 0-4-6V40q0-6 4-6zM83 34H70q-4 0-4 5v14q0 5 4 5h13q4 0 4-6V40q0-6-4-6z"
    />
  </>
);

export const WearEyeProtection = () => (
  <>
    <Bust fill={white} />
    <path fill={blue} d="M24 34h52v7H24z" />
    <path
      fill={blue}
      d="M29 31h42q4 0 4 5v7c0 7-4 12-11 12-6 0-9-3-11-8-1-3-5-3-6 0-2 5-5 8-11 8-7 0-11-5-11-12v-7q0-5 4-5z"
    />
    <path
      fill={white}
      d="M33 37h11q2 0 2 2c0 6-3 10-8 10s-8-3-8-8q0-4 3-4zM67 37H56q-2 0-2 2c0 6 3 10 8 10s8-3 8-8q0-4-3-4z"
    />
  </>
);

export const WearGloves = () => <Glove fill={white} />;

/** Two hands under running water. */
export const WashHands = () => (
  <>
    <path fill={white} d="M22 19h30q12 0 12 12v7H53v-5q0-3-4-3H22z" />
    <path fill={white} d="M33 12h12v5H33z" />
    <path
      fill={white}
      d="M58.5 42c3 4 4 6 4 8a4 4 0 0 1-8 0c0-2 1-4 4-8zM50 52c2 3 3 5 3 6a3 3 0 0 1-6 0c0-1 1-3 3-6zM68 52c2 3 3 5 3 6a3 3 0 0 1-6 0c0-1 1-3 3-6z"
    />
    <path
      fill={white}
      d="M14 60h10q4-4 10-3l12 4q4 2 3 5t-5 3l-8-1 2 3 12 1 26-7q4-1 5 2t-2 5L56 84q-5 2-10 1l-22-4H18q-3-10-4-21z"
    />
  </>
);

export const WearMask = () => (
  <>
    <Bust fill={white} />
    <path
      fill={white}
      stroke={blue}
      stroke-width="5"
      stroke-linejoin="round"
      d="M34 45q16-7 32 0v13q0 14-16 16-16-2-16-16z"
    />
    <path
      fill="none"
      stroke={blue}
      stroke-width="4"
      stroke-linecap="round"
      d="M34 48 27 40M66 48l7-8M35 62l-6-1M65 62l6-1M42 55h16M43 63h14"
    />
  </>
);

/** The plug is out of its socket. */
export const Isolate = () => (
  <>
    <path fill={white} d="M29 13h42v13q0 9-9 9H38q-9 0-9-9z" />
    <path fill={blue} d="M38 26h6v10h-6zM56 26h6v10h-6z" />
    <path fill={white} d="M38 47h6v11h12V47h6v11h7v9q0 9-12 10v8H43v-8q-12-1-12-10v-9h7z" />
    <path fill="none" stroke={white} stroke-width="6" d="M50 84v14" />
  </>
);

/** A hood over the work draws the dust up a duct. */
export const Extraction = () => (
  <>
    <path fill={white} d="M40 10h20v17l21 17q2 2 2 5H17q0-3 2-5l21-17z" />
    <path
      fill="none"
      stroke={blue}
      stroke-width="4"
      stroke-linecap="round"
      stroke-linejoin="round"
      d="M50 39V18M43 25l7-8 7 8"
    />
    <path
      fill="none"
      stroke={white}
      stroke-width="5"
      stroke-linecap="round"
      stroke-linejoin="round"
      d="M50 78V59M43 65l7-7 7 7M27 78q-1-8 5-14M73 78q1-8-5-14"
    />
    <g fill={white}>
      <circle cx="38" cy="74" r="3.5" />
      <circle cx="62" cy="74" r="3.5" />
      <circle cx="40" cy="85" r="3.5" />
      <circle cx="60" cy="85" r="3.5" />
      <circle cx="50" cy="88" r="3.5" />
    </g>
  </>
);
