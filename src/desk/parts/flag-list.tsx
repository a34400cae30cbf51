import { flagLine, live } from '../../words/desk.ts';
import type { DeskNow } from '../api.ts';

/** What the records say against each other, in words: the disc counts the pairs that show it. */
export function FlagList(props: { flags: DeskNow['flags'] }) {
  return (
    <section aria-labelledby="desk-flags">
      <h2 id="desk-flags">{live.toPutRight}</h2>
      {props.flags.length === 0 ? (
        <p class="desk-calm">{live.nothingToPutRight}</p>
      ) : (
        <ul class="desk-flags">
          {props.flags.map((flag) => {
            const line = flagLine(flag);
            return (
              <li key={flag.flag}>
                <svg viewBox="0 0 32 32" aria-hidden="true" focusable="false">
                  <circle cx="16" cy="16" r="15" />
                  <text x="16" y="21.5" text-anchor="middle">
                    {flag.pairs > 99 ? '99+' : flag.pairs}
                  </text>
                </svg>
                <div>
                  <b>{line.says}</b>
                  <span>{line.next}</span>
                </div>
              </li>
            );
          })}
        </ul>
      )}
    </section>
  );
}
