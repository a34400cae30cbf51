/** The pair is logged in: its number, and its ticket to print at once. */
import { useEffect, useRef, useState } from 'preact/hooks';
import type { PairId } from '../../domain/ids.ts';
import type { TicketPaper } from '../../paper/ticket.ts';
import { pairShown } from '../../words/desk.ts';
import { logging, printing } from '../../words/logging.ts';
import type { Print } from '../printing.ts';

interface Props {
  readonly pair: PairId;
  readonly paper: TicketPaper;
  readonly ownerRef: string;
  readonly waiting: number;
  readonly print: Print;
  readonly onNext: () => void;
}

export function LoggedPanel({ pair, paper, ownerRef, waiting, print, onNext }: Props) {
  const [says, setSays] = useState<string | null>(null);
  const panel = useRef<HTMLElement>(null);
  useEffect(() => {
    panel.current?.focus({ preventScroll: true });
    window.scrollTo(0, 0);
  }, []);
  const printNow = async () => {
    setSays(null);
    // Whatever goes wrong in drawing or in the browser's dialog, the pair is logged in and can be printed again.
    await print([paper]).catch(() => setSays(printing.failed));
  };
  return (
    <section class="log-logged" aria-labelledby="log-logged" ref={panel} tabIndex={-1}>
      <h1 id="log-logged">
        {logging.logged} <span class="log-number">{pairShown(pair)}</span>
      </h1>
      <p>
        <bdi>{ownerRef}</bdi>. {logging.loggedNext(waiting)}
      </p>
      <div class="log-buttons">
        <button type="button" class="log-main" onClick={() => void printNow()}>
          {logging.print}
        </button>
        <button type="button" class="log-quiet" onClick={onNext}>
          {logging.next}
        </button>
      </div>
      <p class="field-says" role="status">
        {says}
      </p>
    </section>
  );
}
