/** What whoever is at the desk can record about a pair: one thing at a time, each with its own few questions. */
import type { VNode } from 'preact';
import { useState } from 'preact/hooks';
import { stops } from '../../domain/fold/notes.ts';
import type { PairState } from '../../domain/fold/pair-state.ts';
import { roleOf } from '../../domain/site-book.ts';
import { type ActName, actNames, actWords } from '../../words/whereabouts-acts.ts';
import type { Office } from '../office.ts';
import { AmendForm } from './pair-amend-form.tsx';
import { AnswerForm } from './pair-answer-form.tsx';
import { AskForm } from './pair-ask-form.tsx';
import type { ActsProps, FormProps } from './pair-given.ts';
import { HandBackForm } from './pair-hand-back-form.tsx';
import { ReleaseForm } from './pair-release-form.tsx';
import { ReprintForm } from './pair-reprint-form.tsx';
import { AskStageForm, NotNeededForm } from './pair-stage-forms.tsx';
import { TakeBackForm } from './pair-take-back-form.tsx';

const FORMS: Readonly<Record<ActName, (props: FormProps) => VNode>> = {
  ask: AskForm,
  answer: AnswerForm,
  'hand-back': HandBackForm,
  amend: AmendForm,
  'not-needed': NotNeededForm,
  'ask-stage': AskStageForm,
  release: ReleaseForm,
  reprint: ReprintForm,
  'take-back': TakeBackForm,
};

export function PairActs(props: ActsProps) {
  const { office, state } = props;
  const [open, setOpen] = useState<ActName | null>(null);
  const [made, setMade] = useState<string | null>(null);
  const hindered = open === null ? null : hinders(open, office, state);
  const Form = open === null || hindered !== null ? null : FORMS[open];
  const choose = (act: ActName) => {
    setMade(null);
    setOpen(act === open ? null : act);
  };
  return (
    <section class="pair-acts" aria-labelledby="pair-acts">
      <h3 id="pair-acts">{actWords.title}</h3>
      {office.at === null && <p class="where-mind">{actWords.nobody}</p>}
      <ul>
        {offered(state).map((act) => (
          <li key={act}>
            <button
              type="button"
              disabled={office.at === null}
              aria-expanded={act === open}
              onClick={() => choose(act)}
            >
              {actNames[act]}
            </button>
          </li>
        ))}
      </ul>
      <p class="pair-made" role="status">
        {made}
      </p>
      {hindered !== null && <p class="where-mind">{hindered}</p>}
      {Form !== null && open !== null && (
        <Form
          key={open}
          {...props}
          onMade={() => {
            setOpen(null);
            setMade(actWords.made(open));
          }}
          onClose={() => setOpen(null)}
        />
      )}
    </section>
  );
}

/** What makes no sense for this pair is not offered. */
function offered(state: PairState): readonly ActName[] {
  if (state.details === null) return [];
  const open = state.closedAt === null && state.owner.is !== 'stopped';
  return [
    ...(open ? (['ask'] as const) : []),
    ...(state.closedAt === null ? (['answer'] as const) : []),
    ...(state.closedAt === null && state.owner.is === 'stopped' ? (['hand-back'] as const) : []),
    'amend',
    ...(open ? (['ask-stage', 'not-needed'] as const) : []),
    ...(state.notes.some(stops) ? (['release'] as const) : []),
    'reprint',
    'take-back',
  ];
}

/** Why whoever is at the desk cannot record this act, in a sentence. */
function hinders(act: ActName, { at, book }: Office, state: PairState): string | null {
  // Whoever has left in the middle of a form finds what was typed there again.
  if (act !== 'release' || at === null) return null;
  if (!state.notes.some(stops)) return actWords.noStop;
  return roleOf(book, at) === 'supervisor' ? null : actWords.onlySupervisor;
}
