/** What the bar asks before a pair is begun, with as much told as a test cares about. */
import type { Ask } from '../../src/domain/begin.ts';
import type { Line } from '../../src/words/line.ts';
import { questionLines, type Told } from '../../src/words/questions.ts';

/** Whom the tests' sites tell an operative to ask. */
export const ASK = 'Ruth Adeyemi, supervisor';

const UNTOLD: Told = {
  stage: '',
  who: '',
  since: '',
  place: '',
  reason: '',
  stages: [],
  job: '',
  pair: '',
  shoe: 'left',
  ask: ASK,
};

export function asked(ask: Ask, told: Partial<Told> = {}): Line {
  return questionLines[ask]({ ...UNTOLD, ...told });
}
