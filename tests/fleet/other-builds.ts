/** Records as other builds of the app write them: one of years ago, and ones that are not yet written. */
import type { LedgerRecord } from '../../src/domain/record/kinds.ts';
import type { Mishap } from './plan.ts';

type Writes = Extract<Mishap, { is: 'other-build' }>['writes'];

/** Fields that these kinds got later; a record without them is as good as ever. */
const LATER_FIELDS: Readonly<Record<string, readonly string[]>> = {
  'clocked-in': ['shoe'],
  'clocked-out': ['timed'],
  'sent-back': ['again', 'fault'],
  noted: ['side', 'defect', 'cureAt'],
};

/** The very same object where the build writes it no other way. */
export function otherBuild(record: LedgerRecord, writes: Writes | null): unknown {
  switch (writes) {
    case null:
      return record;
    case 'newer-field':
      return { ...record, lamp: { lux: 740, warm: true } };
    case 'newer-kind':
      return record.kind === 'found-here' || record.kind === 'noted'
        ? { ...record, kind: 'welt-measured', widthMm: 14.5 }
        : record;
    case 'older-fields': {
      const later = LATER_FIELDS[record.kind] ?? [];
      const kept = Object.entries(record).filter(([key]) => !later.includes(key));
      return later.length === 0 ? record : Object.fromEntries(kept);
    }
  }
}
