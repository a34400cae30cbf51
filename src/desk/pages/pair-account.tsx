/** Everything that was ever recorded of a pair, what was taken back among it. */
import type { AccountLine } from '../../domain/whereabouts-account.ts';
import { flagNames } from '../../words/doubt-names.ts';
import { when } from '../../words/format.ts';
import { accountWords, benchShown, type Naming } from '../../words/whereabouts.ts';
import { handShown, recordLine } from '../../words/whereabouts-account.ts';
import type { Account } from './pair-given.ts';

export function PairAccount({ account, naming }: { readonly account: Account; readonly naming: Naming }) {
  if (account === null) return <p class="desk-calm">{accountWords.reading}</p>;
  if (account === 'unreadable') return <p class="where-mind">{accountWords.unreadable}</p>;
  return (
    <details class="pair-account">
      <summary>
        <h3>{accountWords.title}</h3> <span>{accountWords.records(account.length)}</span>
      </summary>
      <ol>
        {account.map((line) => (
          <AccountRow key={line.record.id} line={line} naming={naming} />
        ))}
      </ol>
    </details>
  );
}

function AccountRow({ line, naming }: { readonly line: AccountLine; readonly naming: Naming }) {
  const { book, now } = naming;
  const { record, takenBackBy, flags, sent } = line;
  const marks = [
    ...(takenBackBy === null ? [] : [accountWords.takenBack]),
    ...flags.map((flag) => flagNames[flag]),
    ...(sent ? [] : [accountWords.notSent]),
  ];
  return (
    <li class={takenBackBy === null ? '' : 'pair-taken-back'}>
      <span class="pair-when">{when(record.at, now, book.timeZone)}</span>
      <span dir="auto">{recordLine(record, book)}</span>
      <span class="pair-when">
        {handShown(book, record.by)}, {benchShown(record.bench, naming)}
      </span>
      {marks.length > 0 && <em>{marks.join(', ')}</em>}
    </li>
  );
}
