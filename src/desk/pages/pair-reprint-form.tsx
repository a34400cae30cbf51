import { useState } from 'preact/hooks';
import { actWords } from '../../words/whereabouts-acts.ts';
import { ticketPaperOf } from '../ticket-paper.ts';
import { reprint } from '../whereabouts-acts.ts';
import { ActForm } from './pair-act-form.tsx';
import { RadioField } from './pair-fields.tsx';
import type { FormProps } from './pair-given.ts';

const WHYS = ['lost', 'spoiled'] as const;

/** The same number once more, marked as the second. It is recorded first: a ticket must not exist that no record knows. */
export function ReprintForm({ office, state, print, onMade, onClose }: FormProps) {
  const [why, setWhy] = useState<(typeof WHYS)[number] | null>(null);
  const [recorded, setRecorded] = useState<'not-yet' | 'printing' | 'failed'>('not-yet');
  const paper = ticketPaperOf(state, true);
  const printIt = async () => {
    if (paper === null) return;
    setRecorded('printing');
    try {
      await print([paper]);
      onMade();
    } catch {
      // Whatever kept it from being printed, what to do is the same: try again, and record nothing more.
      setRecorded('failed');
    }
  };
  if (recorded === 'not-yet')
    return (
      <ActForm
        act="reprint"
        office={office}
        prepare={() => reprint(state.pair, why)}
        onMade={() => void printIt()}
        onClose={onClose}
        submit={actWords.recordAndPrint}
      >
        <RadioField
          name={actWords.why}
          value={why}
          onValue={setWhy}
          choices={WHYS.map((value) => ({ value, name: actWords.reprintWhys[value] }))}
        />
        <p class="desk-calm">{actWords.reprintHint}</p>
      </ActForm>
    );
  return (
    <div class="pair-form" role="status">
      <p>{recorded === 'printing' ? actWords.printing : actWords.notPrinted}</p>
      {recorded === 'failed' && (
        <div class="pair-form-ends">
          <button type="button" class="pair-strong" onClick={() => void printIt()}>
            {actWords.printAgain}
          </button>
          <button type="button" onClick={onClose}>
            {actWords.close}
          </button>
        </div>
      )}
    </div>
  );
}
