import type { Acts } from '../app/acts.ts';
import type { Bar, Shape } from '../app/bar-parts.ts';

const PATHS: Readonly<Record<Shape, string>> = {
  ring: 'M38 6a32 32 0 1 1 0 64 32 32 0 0 1 0-64z',
  begun: 'M38 6a32 32 0 1 1 0 64 32 32 0 0 1 0-64zM30 24l22 14-22 14z',
  tick: 'M8 8h60v60H8zM20 40l13 13 24-29',
  disc: 'M38 6a32 32 0 1 1 0 64 32 32 0 0 1 0-64zM38 22v20M38 53v2',
  diamond: 'M38 4l34 34-34 34L4 38zM30 32c0-11 16-11 16 0 0 7-8 6-8 13M38 54v2',
  octagon: 'M24 5h28l19 19v28L52 71H24L5 52V24zM38 20v24M38 54v2',
};

/** The line that rules the page. It is spoken by a screen reader whenever it changes. */
export function BarView({ bar, acts }: { readonly bar: Bar; readonly acts: Acts }) {
  const { tone, shape, line, buttons } = bar;
  return (
    <footer class={`bar ${tone}`}>
      <svg class="shape" width="84" height="84" viewBox="0 0 76 76" aria-hidden="true">
        <path
          d={PATHS[shape]}
          fill="none"
          stroke="#fff"
          stroke-width="7"
          stroke-linecap="round"
          stroke-linejoin="round"
        />
      </svg>
      {/* The key makes the line slide in anew when it says something new. */}
      <p class="line" role="status" key={line.says + line.next}>
        <strong class="says">{line.says}</strong>
        {line.next === '' ? null : <span class="next">{line.next}</span>}
      </p>
      {buttons.length === 0 ? null : (
        <div class="acts">
          {buttons.map(({ label, act, strong }) => (
            <button
              key={label}
              type="button"
              class={strong ? 'button strong' : 'button'}
              onClick={() => act(acts)}
            >
              {label}
            </button>
          ))}
        </div>
      )}
    </footer>
  );
}
