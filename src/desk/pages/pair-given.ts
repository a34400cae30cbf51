/** What the page about a pair is handed besides the office, and what it hands on to its forms. */
import type { Placed } from '../../domain/fold/order.ts';
import type { PairState } from '../../domain/fold/pair-state.ts';
import type { PairId } from '../../domain/ids.ts';
import type { AccountLine } from '../../domain/whereabouts-account.ts';
import type { Office } from '../office.ts';
import type { Print } from '../printing.ts';

/** Every record of the pair that this desk holds. The same function at each drawing, or the records are read again. */
export type RecordsOf = (pair: PairId) => Promise<readonly Placed[]>;

/** Where the picture of a photograph can be shown from, by its hash; null where it is not to be had. */
export type PhotoUrl = (hash: string) => Promise<string | null>;

/** Null while it is read. */
export type Account = readonly AccountLine[] | null | 'unreadable';

export interface ActsProps {
  readonly office: Office;
  readonly state: PairState;
  readonly account: Account;
  readonly print: Print;
}

/** What the form of an act is given. */
export interface FormProps extends ActsProps {
  /** It is recorded. */
  readonly onMade: () => void;
  readonly onClose: () => void;
}
