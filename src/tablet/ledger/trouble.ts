/**
 * What went wrong with the store, told by what a person can do about it. Browsers do not agree on the names: a
 * full disk is QuotaExceededError in one and a bare AbortError in another, a lost connection has three names.
 */
import { LedgerFailure, type LedgerTrouble } from './ledger.ts';

export type Step = 'opening' | 'working';

export function failureFrom(cause: unknown, step: Step): LedgerFailure {
  return cause instanceof LedgerFailure ? cause : new LedgerFailure(troubleOf(cause, step), { cause });
}

/** Whether a fresh connection may cure it; the drafts keep their ids, so trying again cannot make them twice. */
export function maybeCuredByReopening(cause: unknown): boolean {
  if (cause instanceof LedgerFailure) return cause.trouble === 'lost-connection';
  return /^(InvalidState|Unknown|Abort|TransactionInactive|NotFound)Error$/.test(nameOf(cause));
}

function troubleOf(cause: unknown, step: Step): LedgerTrouble {
  const name = nameOf(cause);
  // Safari speaks of its «Indexed Database server».
  const connectionLost = /connection|closing|closed|server/i.test(
    cause instanceof Error ? cause.message : '',
  );
  switch (name) {
    case 'QuotaExceededError':
      return 'full';
    case 'SecurityError':
    case 'NotAllowedError':
    case 'ReadOnlyError':
      return 'no-storage';
    // A private window of some browsers; on an open store it is a handle that has died.
    case 'InvalidStateError':
      return step === 'opening' ? 'no-storage' : 'lost-connection';
    case 'TransactionInactiveError':
      return 'lost-connection';
    // Nobody of ours aborted and a fresh connection did not help: what is left is a store that takes no more.
    case 'AbortError':
      return connectionLost ? 'lost-connection' : 'full';
    case 'UnknownError':
      return connectionLost ? 'lost-connection' : 'unreadable';
    case 'VersionError':
    case 'NotFoundError':
    case 'DataError':
    case 'DataCloneError':
    case 'ConstraintError':
    case 'NotReadableError':
      return 'unreadable';
    default:
      return step === 'opening' ? 'no-storage' : 'lost-connection';
  }
}

function nameOf(cause: unknown): string {
  return cause instanceof Error ? cause.name : '';
}
