import type { SiteBook } from '../../domain/site-book.ts';
import type { SiteFault } from '../../domain/site-change-faults.ts';
import { stopped } from '../../words/desk.ts';
import { siteFaultLine } from '../../words/site-faults.ts';

/** Why a change does not stand, beside where it was made. */
export function FaultNote({ faults, book }: { faults: readonly SiteFault[]; book: SiteBook }) {
  if (faults.length === 0) return null;
  return (
    <div class="site-faults" role="alert">
      {faults.map((fault) => {
        const { says, next } = siteFaultLine(fault, book);
        return (
          <p key={JSON.stringify(fault)}>
            <b>{stopped(says)}</b> {stopped(next)}
          </p>
        );
      })}
    </div>
  );
}
