/** Pieces that several glyphs share, in a field of 100 units. */

/** Head and shoulders, seen from the front; the head's middle is at 50, 44. */
export function Bust({ fill }: { readonly fill: string }) {
  return (
    <>
      <path fill={fill} d="M50 15c15 0 23 11 23 27 0 17-9 31-23 31S27 59 27 42c0-16 8-27 23-27z" />
      <path fill={fill} d="M16 85c5-9 13-13 22-14 3 5 7 7 12 7s9-2 12-7c9 1 17 5 22 14a49 49 0 0 1-68 0z" />
    </>
  );
}

/** A five-fingered glove with its cuff, palm towards us. */
export function Glove({ fill }: { readonly fill: string }) {
  return (
    <>
      <path
        fill={fill}
        d="M38 66 24 49a5.2 5.2 0 0 1 8-6.6l7 7V25a5 5 0 0 1 10 0v17h2V20a5 5 0 0 1 10 0v22h2V24a5 5 0 0 1 10 0v20h2V32a4.6 4.6 0 0 1 9.2 0v24c0 6-3 9-5 12z"
      />
      <path fill={fill} d="M38 71h42v11q-21 6-42 0z" />
    </>
  );
}

/** The mark of exclamation, about 50 units high and centred on x. */
export function Exclamation({ fill, top }: { readonly fill: string; readonly top: number }) {
  return (
    <>
      <path fill={fill} d={`M50 ${top}c5 0 8 3 8 8l-3.4 25c-.6 4-8.6 4-9.2 0L42 ${top + 8}c0-5 3-8 8-8z`} />
      <circle fill={fill} cx="50" cy={top + 47} r="6.5" />
    </>
  );
}

/** A tongue of flame with a hollow in it, foot at 50, 84. */
export function Flame({ fill, hollow }: { readonly fill: string; readonly hollow: string }) {
  return (
    <>
      <path
        fill={fill}
        d="M52 36c3 9 16 16 16 31 0 11-8 17-18 17s-18-6-18-16c0-8 5-12 7-19 3 2 5 5 5 8 6-5 9-12 8-21z"
      />
      <path fill={hollow} d="M51 64c2 4 6 6 6 11 0 4-3 6-7 6s-7-2-7-6c0-5 6-6 8-11z" />
    </>
  );
}
