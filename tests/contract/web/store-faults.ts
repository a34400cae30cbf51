/**
 * Faults of the browser's store, put in under the ledger: what real tablets do and tests cannot wait for. Each takes
 * the place of one method of IndexedDB's own prototypes.
 */
export interface StoreFault {
  /** Fail at the request of this number, counted over all writing requests from now on, 1 for the first. */
  readonly at: number;
  /** Once, or at every request from there on. */
  readonly sticky: boolean;
  readonly how:
    | { readonly is: 'throws'; readonly name: string; readonly message: string }
    /** The transaction is aborted under the ledger, as a full disk does it in some browsers. */
    | { readonly is: 'aborts' };
}

export interface BrokenStore {
  /** How often the fault has struck. */
  readonly struck: () => number;
  readonly mend: () => void;
  /** The durability that each writing transaction asked for. */
  readonly durabilities: readonly string[];
}

let current: BrokenStore | null = null;

/** @returns how often the fault has struck and what was asked for, until it is mended */
export function breakStore(fault: StoreFault | null): { struck: number; durabilities: readonly string[] } {
  const before = { struck: current?.struck() ?? 0, durabilities: [...(current?.durabilities ?? [])] };
  current?.mend();
  current = fault === null ? null : put(fault);
  return before;
}

function put(fault: StoreFault): BrokenStore {
  const store = IDBObjectStore.prototype;
  const database = IDBDatabase.prototype;
  const own = { add: store.add, put: store.put, transaction: database.transaction };
  const durabilities: string[] = [];
  let requests = 0;
  let struck = 0;
  const strike = (broken: IDBObjectStore) => {
    requests += 1;
    if (requests < fault.at || (!fault.sticky && requests > fault.at)) return;
    struck += 1;
    if (fault.how.is === 'throws') throw new DOMException(fault.how.message, fault.how.name);
    broken.transaction.abort();
  };
  store.add = function (...given) {
    strike(this);
    return own.add.apply(this, given);
  };
  store.put = function (...given) {
    strike(this);
    return own.put.apply(this, given);
  };
  database.transaction = function (...given) {
    const transaction = own.transaction.apply(this, given);
    if (transaction.mode === 'readwrite') durabilities.push(transaction.durability);
    return transaction;
  };
  return {
    struck: () => struck,
    durabilities,
    mend() {
      store.add = own.add;
      store.put = own.put;
      database.transaction = own.transaction;
    },
  };
}
