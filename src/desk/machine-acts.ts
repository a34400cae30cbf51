/** What is recorded about a machine at the desk, made of what was typed, or what is missing for it. */
import type { RecordKind } from '../domain/record/kinds.ts';
import { machineWords } from '../words/to-look-at.ts';
import type { Machine } from './machines.ts';
import { lineOf, type Prepared } from './whereabouts-acts.ts';

type MachineKind = Extract<RecordKind, 'machine-stopped' | 'machine-back'>;

export function ruleMachine(kind: MachineKind, machine: Machine | null, typed: string): Prepared {
  if (machine === null) return { is: 'missing', says: machineWords.chooseFirst };
  const why = lineOf(typed);
  if (why === '') return { is: 'missing', says: machineWords.whyMissing };
  const { bench: where, stage } = machine;
  return { is: 'acts', acts: [{ kind, said: { where, stage, why } }] };
}
