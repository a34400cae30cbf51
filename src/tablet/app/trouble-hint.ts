/** What the scanner's troubles come to on the screen; some are none of the operative's business. */
import type { ScanTrouble } from '../scan/scanner.ts';
import type { Hint } from './screen.ts';

export function hintOfTrouble(trouble: ScanTrouble): Hint | null {
  switch (trouble.kind) {
    case 'layout':
      return { is: 'wrong-layout', layout: trouble.layout };
    case 'several':
      return { is: 'several-codes' };
    case 'still-in-view':
      return { is: 'still-in-view' };
    case 'repeat':
      // Read twice by one pull of the trigger: the first one counted, and the screen already says so.
      return null;
    case 'dropped':
      return trouble.why === 'control-keys' || trouble.why === 'alt-codes'
        ? { is: 'scanner-keys' }
        : trouble.why === 'no-end-key'
          ? { is: 'scanner-cut-short' }
          : null;
  }
}
