import { useEffect, useState } from 'preact/hooks';
import type { Instant } from '../../domain/instant.ts';
import { when } from '../../words/format.ts';
import { kindWords, reasonInWords, outboxWords as words } from '../../words/outbox.ts';

/** A record that the server would not take. */
export interface RefusedHere {
  readonly id: string;
  readonly kind: string;
  readonly pair: string | null;
  readonly at: Instant;
  readonly reasons: readonly string[];
}

/** What is kept here and not at the server. */
export interface OutboxHere {
  readonly records: number;
  readonly refused: readonly RefusedHere[];
  /** Gives all of it to the person as a file. */
  readonly save: () => void;
  /** Each record as a drawn symbol, as SVG; null where they are too many or too long for that. */
  readonly symbols: (() => Promise<readonly string[]>) | null;
}

export interface OutboxListProps {
  readonly open: () => Promise<OutboxHere>;
  /** Waiting and refused; read anew when it changes. */
  readonly count: number;
  readonly now: Instant;
  readonly zone: string;
}

type Seen = OutboxHere | 'reading' | 'unreadable';

/** Records that are not at the server: why some were not taken, and how to take them along. */
export function OutboxList({ open, count, now, zone }: OutboxListProps) {
  const [seen, setSeen] = useState<Seen>('reading');
  const [saved, setSaved] = useState(false);
  // The count says when there is something else to read.
  useEffect(() => {
    let current = true;
    open().then(
      (outbox) => current && setSeen(outbox),
      () => current && setSeen('unreadable'),
    );
    return () => {
      current = false;
    };
  }, [count]);
  return (
    <section>
      <h2 class="section">{words.title}</h2>
      {typeof seen === 'string' ? (
        <p class="quiet">{seen === 'reading' ? words.wait : words.unreadable}</p>
      ) : (
        <>
          <Refusals refused={seen.refused} now={now} zone={zone} />
          <p class="quiet">{saved ? words.saved : words.help}</p>
          <button
            type="button"
            class="button"
            onClick={() => {
              seen.save();
              setSaved(true);
            }}
          >
            {words.save(seen.records)}
          </button>
          {seen.symbols === null ? null : <Symbols draw={seen.symbols} />}
        </>
      )}
    </section>
  );
}

interface RefusalsProps extends Pick<OutboxListProps, 'now' | 'zone'> {
  readonly refused: readonly RefusedHere[];
}

function Refusals({ refused, now, zone }: RefusalsProps) {
  if (refused.length === 0) return null;
  return (
    <>
      <h3>{words.refusedTitle}</h3>
      <p class="quiet">{words.refusedHelp}</p>
      <ul class="refusals">
        {refused.map(({ id, kind, pair, at, reasons }) => (
          <li key={id}>
            <b>
              {when(at, now, zone)}, {kindWords(kind)}
            </b>{' '}
            {pair}
            {reasons.map((reason) => (
              <span key={reason} title={reason}>
                <br />
                {reasonInWords(reason)}
              </span>
            ))}
          </li>
        ))}
      </ul>
    </>
  );
}

function Symbols({ draw }: { readonly draw: () => Promise<readonly string[]> }) {
  const [drawn, setDrawn] = useState<readonly string[] | null>(null);
  return (
    <>
      <button
        type="button"
        class="button"
        aria-expanded={drawn !== null}
        onClick={() => (drawn === null ? void draw().then(setDrawn) : setDrawn(null))}
      >
        {drawn === null ? words.show : words.hide}
      </button>
      {drawn === null ? null : (
        <>
          <p class="quiet">{words.showHelp}</p>
          {drawn.map((svg, index) => (
            <figure key={svg} class="outbox-symbol">
              <img
                width={420}
                src={`data:image/svg+xml,${encodeURIComponent(svg)}`}
                alt={words.symbol(index + 1, drawn.length)}
              />
              <figcaption>{words.symbol(index + 1, drawn.length)}</figcaption>
            </figure>
          ))}
        </>
      )}
    </>
  );
}
