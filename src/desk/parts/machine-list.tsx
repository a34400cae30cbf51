/** The machines that may not be run, and a supervisor's word on them. */
import { useState } from 'preact/hooks';
import { when } from '../../words/format.ts';
import { machineWords } from '../../words/to-look-at.ts';
import { benchShown } from '../../words/whereabouts.ts';
import { handShown, stageShown } from '../../words/whereabouts-account.ts';
import { ruleMachine } from '../machine-acts.ts';
import { type Machine, machinesAt, mayRuleMachines } from '../machines.ts';
import type { Office } from '../office.ts';
import { LineField, PickField } from '../pages/pair-fields.tsx';
import { RecordForm } from './record-form.tsx';

const keyOf = ({ bench, stage }: Machine): string => `${bench} ${stage}`;

function machineShown({ bench, stage }: Machine, { book, now, desk }: Office): string {
  return machineWords.machine(stageShown(book, stage), benchShown(bench, { book, now, desk }));
}

export function MachineList({ office }: { readonly office: Office }) {
  const { outOfUse, book, now } = office;
  const [open, setOpen] = useState<Machine | 'any' | null>(null);
  const [made, setMade] = useState<string | null>(null);
  const may = mayRuleMachines(office.at, book);
  const show = (what: Machine | 'any') => {
    setMade(null);
    setOpen(what);
  };
  const ended = (says: string | null) => {
    setOpen(null);
    setMade(says);
  };
  return (
    <section class="desk-machines" aria-labelledby="desk-machines">
      <h2 id="desk-machines">{machineWords.title}</h2>
      {outOfUse.length === 0 && <p class="desk-calm">{machineWords.none}</p>}
      <ul class="desk-look">
        {outOfUse.map((machine) => (
          <li key={keyOf(machine)}>
            <b>{machineShown(machine, office)}</b>
            <span dir="auto">{machine.why}</span>
            <span>
              {machineWords.since(handShown(book, machine.by), when(machine.since, now, book.timeZone))}
            </span>
            <button type="button" disabled={!may} onClick={() => show(machine)}>
              {machineWords.back}
            </button>
          </li>
        ))}
      </ul>
      {machinesAt(book).length > 0 && (
        <button type="button" disabled={!may} onClick={() => show('any')}>
          {machineWords.stop}
        </button>
      )}
      {!may && <p class="desk-calm">{machineWords.onlySupervisor}</p>}
      <p role="status">{made}</p>
      {may && open === 'any' && <OutForm office={office} onEnd={ended} />}
      {may && open !== null && open !== 'any' && (
        <BackForm key={keyOf(open)} office={office} machine={open} onEnd={ended} />
      )}
    </section>
  );
}

interface FormProps {
  readonly office: Office;
  /** @param says what was recorded; null where it was left. */
  readonly onEnd: (says: string | null) => void;
}

function BackForm({ office, machine, onEnd }: FormProps & { readonly machine: Machine }) {
  const [why, setWhy] = useState('');
  return (
    <RecordForm
      title={`${machineWords.back}: ${machineShown(machine, office)}`}
      office={office}
      prepare={() => ruleMachine('machine-back', machine, why)}
      onMade={() => onEnd(machineWords.made.back)}
      onClose={() => onEnd(null)}
    >
      <p class="desk-calm">{machineWords.backHint}</p>
      <LineField name={machineWords.whyBack} value={why} onValue={setWhy} />
    </RecordForm>
  );
}

function OutForm({ office, onEnd }: FormProps) {
  const [why, setWhy] = useState('');
  const [key, setKey] = useState<string | null>(null);
  const { book, outOfUse } = office;
  const usual = machinesAt(book).filter(({ bench, stage }) =>
    book.benches.some((one) => one.bench === bench && one.stages.includes(stage)),
  );
  const running = usual.filter((one) => !outOfUse.some((out) => keyOf(out) === keyOf(one)));
  const machine = running.find((one) => keyOf(one) === key) ?? null;
  return (
    <RecordForm
      title={machineWords.stop}
      office={office}
      prepare={() => ruleMachine('machine-stopped', machine, why)}
      onMade={() => onEnd(machineWords.made.out)}
      onClose={() => onEnd(null)}
    >
      <PickField
        name={machineWords.which}
        value={machine === null ? null : keyOf(machine)}
        onValue={setKey}
        choices={running.map((one) => ({ value: keyOf(one), name: machineShown(one, office) }))}
      />
      <LineField name={machineWords.whyOut} value={why} onValue={setWhy} />
      <p class="desk-calm">{machineWords.outHint}</p>
    </RecordForm>
  );
}
