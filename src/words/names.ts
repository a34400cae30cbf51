/** What jobs, shoes and weights are called on screen and paper. */
import type { Job, Shoe, Weight } from '../domain/record/kinds.ts';

export const jobNames: Readonly<Record<Job, string>> = {
  HL: 'Heel only',
  HF: 'Half sole',
  LG: 'Long sole',
  RS: 'Sole on the old welt',
  FB: 'Full rebuild',
};

export const shoeNames: Readonly<Record<Shoe, string>> = {
  left: 'left',
  right: 'right',
  both: 'both shoes',
};

export const weightNames: Readonly<Record<Weight, string>> = {
  mind: 'Mind',
  mend: 'Mend',
  ask: 'Ask',
  stop: 'Stop',
};
