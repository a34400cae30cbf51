import { useState } from 'preact/hooks';
import type { RecordId } from '../../domain/ids.ts';
import type { LedgerRecord } from '../../domain/record/kinds.ts';
import { when } from '../../words/format.ts';
import { handShown, recordLine } from '../../words/whereabouts-account.ts';
import { actWords } from '../../words/whereabouts-acts.ts';
import { takeBack } from '../whereabouts-acts.ts';
import { ActForm } from './pair-act-form.tsx';
import { LineField, RadioField } from './pair-fields.tsx';
import type { FormProps } from './pair-given.ts';

/** A pair was logged by mistake, or twice: the logging that was the mistake is taken back. */
export function TakeBackForm({ office, state, account, onMade, onClose }: FormProps) {
  const loggings = loggingsOf({ account, state });
  const only = loggings.length === 1 ? (loggings[0]?.id ?? null) : null;
  const [chosen, choose] = useState<RecordId | null>(null);
  const [why, setWhy] = useState('');
  const { book, now } = office;
  const stages = new Set(state.spells.map(({ stage }) => stage)).size;
  return (
    <ActForm
      act="take-back"
      office={office}
      prepare={() => takeBack(state.pair, chosen ?? only, why)}
      onMade={onMade}
      onClose={onClose}
    >
      {loggings.length > 1 && (
        <RadioField
          name={actWords.whichLogging}
          value={chosen}
          onValue={choose}
          choices={loggings.map((record) => ({
            value: record.id,
            name: `${recordLine(record, book)} (${handShown(book, record.by)}, ${when(record.at, now, book.timeZone)})`,
          }))}
        />
      )}
      <p class="desk-calm">{actWords.takeBackHint(loggings.length > 1 ? 0 : stages)}</p>
      <LineField name={actWords.why} value={why} onValue={setWhy} />
    </ActForm>
  );
}

/** Every logging that stands; the one that holds, where the records are not read yet. */
function loggingsOf({ account, state }: Pick<FormProps, 'account' | 'state'>): readonly LedgerRecord[] {
  const lines = account === null || account === 'unreadable' ? [] : account;
  const standing = lines.flatMap(({ record, takenBackBy }) =>
    record.kind === 'pair-logged' && takenBackBy === null ? [record] : [],
  );
  return standing.length > 0 ? standing : state.logged === null ? [] : [state.logged];
}
