/** What the findings call for, with every reason: a proposal by rule, and a person decides. */
import { defectById } from '../../domain/catalogue/defects.ts';
import type { Reason, Triage } from '../../domain/triage.ts';
import { logging } from '../../words/logging.ts';
import { jobNames } from '../../words/names.ts';

export function ProposalBox({ found }: { readonly found: Triage | null }) {
  if (found === null) return <p class="desk-calm">{logging.proposalSoFar}</p>;
  return (
    <div class="log-proposal">
      <p aria-live="polite">
        <b>{says(found)}</b> {logging.decides}
      </p>
      <details open>
        <summary>{logging.reasons(found.reasons.length)}</summary>
        <ul>
          {found.reasons.map((reason) => (
            <li key={`${reason.rule} ${reason.shoe} ${reason.defect}`}>{line(reason)}</li>
          ))}
        </ul>
      </details>
    </div>
  );
}

function says({ proposal }: Triage): string {
  switch (proposal.is) {
    case 'job':
      return logging.proposal.job(jobNames[proposal.job]);
    case 'beyond-repair-ask':
      return logging.proposal.beyond(proposal.job === null ? null : jobNames[proposal.job]);
    default:
      return logging.proposal[proposal.is];
  }
}

function line({ says: said, shoe, defect, asks }: Reason): string {
  const name = defect === null ? undefined : defectById(defect)?.name;
  return logging.reason(said, logging.onShoe[shoe], name ?? null, asks);
}
