/** Machines that may not be run, from the records in the desk's own ledger. */
import { inOrder } from '../domain/fold/order.ts';
import type { BenchId, OperativeId, StageCode } from '../domain/ids.ts';
import type { Instant } from '../domain/instant.ts';
import { thing } from '../domain/record/kinds.ts';
import { roleOf, type SiteBook } from '../domain/site-book.ts';
import type { Around } from '../domain/whereabouts.ts';
import type { TabletLedger } from '../tablet/ledger/ledger.ts';

/** A machine: the bench that it stands at, and the stage that is done on it. */
export interface Machine {
  readonly bench: BenchId;
  readonly stage: StageCode;
}

export interface MachineOut extends Machine {
  readonly why: string;
  readonly since: Instant;
  readonly by: OperativeId | null;
}

type Places = Pick<SiteBook, 'benches' | 'stages'>;

/** Every machine that the site's benches can have: a bench may be set to a stage that the book does not give it. */
export function machinesAt({ benches, stages }: Places): readonly Machine[] {
  const onMachine = stages.filter(({ machine }) => machine).map(({ code }) => code);
  return benches.flatMap(({ bench }) => onMachine.map((stage) => ({ bench, stage })));
}

/** Those that may not be run now, in the order of benches and stages. @throws LedgerFailure */
export async function machinesOut(
  ledger: Pick<TabletLedger, 'recordsOfThing'>,
  places: Places,
): Promise<readonly MachineOut[]> {
  const read = machinesAt(places).map(async ({ bench, stage }): Promise<readonly MachineOut[]> => {
    const latest = inOrder(await ledger.recordsOfThing(thing.machine(bench, stage))).at(-1)?.record;
    if (latest?.kind !== 'machine-stopped') return [];
    const { why, at: since, by } = latest;
    return [{ bench, stage, why, since, by }];
  });
  return (await Promise.all(read)).flat();
}

/** Why a stage can be worked at no bench: every bench that the book gives it has its machine out of use. */
export function outOfUseIn({ benches }: Places, out: readonly MachineOut[]): Around['outOfUse'] {
  return (stage) => {
    const here = out.filter((one) => one.stage === stage);
    const others = benches.filter(
      ({ bench, stages }) => stages.includes(stage) && !here.some((one) => one.bench === bench),
    );
    return others.length > 0 ? null : (here[0]?.why ?? null);
  };
}

/** Only a supervisor says so at a desk; at the bench whoever stands there does. */
export function mayRuleMachines(at: OperativeId | null, book: SiteBook): boolean {
  return at !== null && roleOf(book, at) === 'supervisor';
}
