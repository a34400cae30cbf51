/** The pair itself: text fields, each with its hint and what is wrong with it. */
import { logging } from '../../words/logging.ts';
import { LENGTHS, type LineField, type Problems } from './draft-problems.ts';
import { FieldSays, saysId } from './field-says.tsx';
import type { LoggingDraft } from './logging-draft.ts';

export interface FieldsProps {
  readonly draft: LoggingDraft;
  readonly change: (change: Partial<LoggingDraft>) => void;
  readonly problems: Problems;
}

export function PairFields({ draft, change, problems }: FieldsProps) {
  const line = (field: LineField, label: string, hint: string | null = null) => (
    <LineInput
      id={`log-${field}`}
      label={label}
      hint={hint}
      text={draft[field]}
      most={LENGTHS[field]}
      problem={problems[field]}
      onText={(text) => change({ [field]: text })}
    />
  );
  return (
    <section class="log-part" aria-labelledby="log-pair">
      <h2 id="log-pair">{logging.thePair}</h2>
      <div class="log-grid log-grid-two">
        {line('ownerRef', logging.ownerRef, logging.ownerRefHint)}
        {line('style', logging.style, logging.styleHint)}
      </div>
      <div class="log-grid log-grid-last">
        {line('last', logging.last, logging.unknownHint)}
        {line('size', logging.size)}
        {line('fitting', logging.fitting)}
      </div>
      <div class="log-grid log-grid-two">
        {line('maker', logging.maker, logging.optional)}
        {line('asked', logging.asked, logging.optional)}
      </div>
    </section>
  );
}

interface LineProps {
  readonly id: string;
  readonly label: string;
  readonly hint: string | null;
  readonly text: string;
  readonly most: number;
  readonly problem: string | undefined;
  readonly onText: (text: string) => void;
  /** Codes are typed in capitals and are never spelt. */
  readonly code?: boolean;
}

export function LineInput({ id, label, hint, text, most, problem, onText, code = false }: LineProps) {
  return (
    <div class="log-field">
      <label for={id}>{label}</label>
      <input
        id={id}
        type="text"
        dir="auto"
        value={text}
        maxLength={most}
        autocomplete="off"
        {...(code ? { autocapitalize: 'characters', spellcheck: false } : {})}
        aria-describedby={hint === null ? saysId(id) : `${id}-hint ${saysId(id)}`}
        aria-invalid={problem !== undefined}
        onInput={(event) => onText(event.currentTarget.value)}
      />
      {hint !== null && (
        <p id={`${id}-hint`} class="log-hint">
          {hint}
        </p>
      )}
      <FieldSays id={id} problem={problem} />
    </div>
  );
}
