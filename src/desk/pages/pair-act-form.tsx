import type { ComponentChildren } from 'preact';
import { type ActName, actNames } from '../../words/whereabouts-acts.ts';
import type { Office } from '../office.ts';
import { RecordForm } from '../parts/record-form.tsx';
import type { Prepared } from '../whereabouts-acts.ts';

interface Props {
  readonly act: ActName;
  readonly office: Office;
  readonly prepare: () => Prepared;
  readonly onMade: () => void;
  readonly onClose: () => void;
  readonly submit?: string;
  readonly children: ComponentChildren;
}

/** The form of one act about a pair, under the act's own name. */
export function ActForm({ act, ...given }: Props) {
  return <RecordForm title={actNames[act]} {...given} />;
}
