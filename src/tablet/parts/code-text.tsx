import { inGroups } from '../../domain/code.ts';

/** A code in groups of four, its check character set apart where it has one. */
export function CodeText({
  code,
  checked = true,
  as: Tag = 'p',
}: {
  readonly code: string;
  readonly checked?: boolean;
  readonly as?: 'p' | 'span' | 'h2';
}) {
  const groups = inGroups(code);
  return (
    <Tag class="code">
      {groups.map((group, index) =>
        checked && index === groups.length - 1 ? (
          <span key={index}>
            {group.slice(0, -1)}
            <span class="check">{group.slice(-1)}</span>
          </span>
        ) : (
          <span key={index}>{group}</span>
        ),
      )}
    </Tag>
  );
}
