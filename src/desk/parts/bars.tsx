/** Quiet bars beside a table's numbers: they repeat what the number says, so a reader of the page hears it once. */

/** Pairs out in ink over pairs in, both to the scale of the whole table. */
export function OutOfIn(props: { pairsIn: number; pairsOut: number; full: number }) {
  const width = (pairs: number) => (100 * pairs) / props.full;
  return (
    <svg
      class="desk-bar"
      viewBox="0 0 100 12"
      preserveAspectRatio="none"
      aria-hidden="true"
      focusable="false"
    >
      <rect class="desk-bar-in" x="0" y="1" width={width(props.pairsIn)} height="10" />
      <rect class="desk-bar-out" x="0" y="3" width={width(props.pairsOut)} height="6" />
    </svg>
  );
}

const BLOCKS_MAX = 6;

/** One block for each clock-in that is open; those left from before the shift come first and stand out. */
export function OpenBlocks(props: { openNow: number; left: number }) {
  const blocks = Array.from({ length: Math.min(BLOCKS_MAX, props.openNow) }, (_, index) => index);
  return (
    <svg class="desk-blocks" viewBox="0 0 60 12" aria-hidden="true" focusable="false">
      {blocks.map((block) => (
        <rect
          key={block}
          class={block < props.left ? 'desk-block-left' : undefined}
          x={block * 10}
          y="2"
          width="7"
          height="8"
        />
      ))}
    </svg>
  );
}
