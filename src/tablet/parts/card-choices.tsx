/** What can be chosen on a card in place of its notes: reasons, other endings, a supervisor's word. */

import { hurdleOf } from '../../domain/begin.ts';
import './panels.css';
import type { StageCode } from '../../domain/ids.ts';
import { actions } from '../../words/bench.ts';
import {
  boxReasons,
  lateReasons,
  letThroughReasons,
  machineReasons,
  passReasons,
  releaseReasons,
  setAsideReasons,
  supervisorChoices,
} from '../../words/choices.ts';
import { shoeNames } from '../../words/names.ts';
import { stageName } from '../app/bar-parts.ts';
import { lateStages } from '../app/late.ts';
import type { Choosing } from '../app/screen.ts';
import { AllReminders } from './all-reminders.tsx';
import type { CardProps } from './card-props.ts';
import { type Choice, Choices } from './choices.tsx';
import { NotePlacer } from './note-placer.tsx';
import { SendBack } from './send-back.tsx';

export interface ChoicesProps extends CardProps {
  readonly choosing: Choosing;
}

export function CardChoices(props: ChoicesProps) {
  const { choosing, card, view, acts } = props;
  switch (choosing.is) {
    case 'note':
      return <NotePlacer acts={acts} />;
    case 'reminders':
      return <AllReminders stage={card.stage} book={view.book} />;
    case 'send-back':
      return <SendBack {...props} shoe={choosing.shoe} />;
    case 'second-hand':
      return null;
    case 'late':
      return (
        <>
          <p class="placed">
            {lateStages(card, view)
              .map((stage) => stageName(view, stage))
              .join(', ')}
          </p>
          <Choices options={optionsOf(props)} />
        </>
      );
    default:
      return <Choices options={optionsOf(props)} />;
  }
}

const reasons = (of: readonly string[], choose: (why: string) => void): readonly Choice[] =>
  of.map((label) => ({ label, onChoose: () => choose(label) }));

function optionsOf({ choosing, card, acts, view }: ChoicesProps): readonly Choice[] {
  switch (choosing.is) {
    case 'more':
      return moreOptions({ card, acts, view });
    case 'set-aside':
      return reasons(setAsideReasons, acts.setAside);
    case 'part':
      return (['left', 'right'] as const).map((shoe) => ({
        label: shoeNames[shoe],
        onChoose: () => acts.part(shoe),
      }));
    case 'machine':
      return reasons(machineReasons, acts.machineStopped);
    case 'late':
      return reasons(lateReasons, acts.late);
    case 'release':
      return reasons(releaseReasons, acts.release);
    case 'pass-open':
      return card.moment.is === 'boxing' ? reasons(boxReasons, acts.box) : reasons(passReasons, acts.pass);
    case 'let-through':
      return letThroughOptions({ card, acts, view });
    default:
      return [];
  }
}

function moreOptions({ card, acts, view }: CardProps): readonly Choice[] {
  const machine = view.book?.stages.find(({ code }) => code === card.stage)?.machine === true;
  const choose = (choosing: Choosing) => () => acts.choose(choosing);
  return [
    { label: actions.sendBack, onChoose: choose({ is: 'send-back', shoe: 'both' }) },
    { label: actions.setAside, onChoose: choose({ is: 'set-aside' }) },
    { label: actions.addNote, onChoose: choose({ is: 'note' }) },
    { label: actions.photograph, onChoose: acts.askPicture },
    { label: actions.withAnother, onChoose: choose({ is: 'second-hand' }) },
    ...(card.pair?.parted == null ? [{ label: actions.part, onChoose: choose({ is: 'part' }) }] : []),
    ...(machine ? [{ label: actions.machineOut, onChoose: choose({ is: 'machine' }) }] : []),
    { label: actions.allReminders, onChoose: choose({ is: 'reminders' }) },
  ];
}

/** What a supervisor can say to the question on the card, the reasons first. */
function letThroughOptions({ card, acts, view }: CardProps): readonly Choice[] {
  const { moment } = card;
  if (moment.is !== 'asked') return [];
  const { question } = moment;
  const hurdle = hurdleOf(question);
  const name = (stage: StageCode) => stageName(view, stage);
  return [
    ...(hurdle === null ? [] : reasons(letThroughReasons[hurdle], acts.letThrough)),
    ...(question.ask === 'not-due'
      ? question.missing.map((stage) => ({
          label: supervisorChoices.notNeeded(name(stage)),
          onChoose: () => acts.notNeeded(stage),
        }))
      : []),
    ...(question.ask === 'not-on-route'
      ? [{ label: supervisorChoices.needed(name(question.stage)), onChoose: () => acts.needed() }]
      : []),
    ...(question.ask === 'out-of-use'
      ? [{ label: supervisorChoices.machineBack, onChoose: () => acts.machineBack(question.stage) }]
      : []),
  ];
}
