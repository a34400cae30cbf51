/**
 * What each kind of job takes, written out by hand beside the catalogue's table, so that a slip there is seen here.
 * Common practice, no source. The owner's yes is not among them: it is answered at the desk, and only where it is
 * asked for.
 */
import { asStageCode, type StageCode } from '../../src/domain/ids.ts';
import type { Job } from '../../src/domain/record/kinds.ts';

const codes = (text: string): readonly StageCode[] => text.split(' ').map(asStageCode);

/** The order in which the pairs march. */
export const MARCH = codes(
  'REC TRI OWN CLN PUL RIB FND LAS WRP WLT INT BEA SEA SHK CRK PRP LAY RND STI SNA LEV SLP HBL HAT TOP BRS SC1 SC2 ' +
    'ETR EST WAX EPL BSC BST DET UCL UPL CHK SOK LAC BOX DSP',
);

export const ROUTES: Readonly<Record<Job, readonly StageCode[]>> = {
  HL: codes('REC TRI PUL TOP SC1 SC2 EST WAX EPL UPL CHK BOX DSP'),
  HF: codes('REC TRI PUL PRP LAY RND STI LEV ETR EST WAX EPL BSC BST UPL CHK BOX DSP'),
  LG: codes(
    'REC TRI CLN PUL CRK PRP LAY RND STI SNA LEV HAT TOP BRS SC1 SC2 ETR EST WAX EPL BSC BST UCL UPL CHK SOK LAC BOX DSP',
  ),
  RS: codes(
    'REC TRI CLN PUL RIB FND LAS WRP CRK PRP LAY RND STI SNA LEV SLP HBL HAT TOP BRS SC1 SC2 ETR EST WAX EPL BSC BST ' +
      'DET UCL UPL CHK SOK LAC BOX DSP',
  ),
  FB: codes(
    'REC TRI CLN PUL RIB FND LAS WRP WLT INT BEA SEA SHK CRK PRP LAY RND STI SNA LEV SLP HBL HAT TOP BRS SC1 SC2 ' +
      'ETR EST WAX EPL BSC BST DET UCL UPL CHK SOK LAC BOX DSP',
  ),
};

/** Stages without a line of reminders: nothing is shown before them. */
export const WITHOUT_REMINDERS = codes('TRI OWN WRP LAC');
