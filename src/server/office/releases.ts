/** Who may run which machine by the site's own list. No list says that somebody was trained: it says who was released. */
import type { Order } from './order.ts';
import { operativeOf } from './people.ts';
import { needed, Refusal } from './refusal.ts';
import { stagesIn } from './tablets.ts';

const STAGES_MAX = 64;

/** Sets the list of a hand's machine stages, or ends it: then the hand may run every machine. */
export async function release({ ledger, site, book, options }: Order): Promise<string> {
  const { id, name } = operativeOf(book, needed(options, 'operative'));
  if (options.all === true && options.stages !== undefined) {
    throw new Refusal('Say --stages or --all, not both.');
  }
  const released =
    options.all === true ? null : stagesIn(book, needed(options, 'stages'), STAGES_MAX).map(machineStage);
  await ledger.changeBook(site, (before) => ({
    ...before,
    operatives: before.operatives.map((one) => (one.id === id ? { ...one, released } : one)),
  }));
  return released === null
    ? `${name} is released for every machine.`
    : `${name} is released for ${released.join(' ')} and no other machine.`;
}

function machineStage({ code, name, machine }: Order['book']['stages'][number]) {
  if (!machine) throw new Refusal(`--stages: ${code}, ${name}, has no machine: nobody has to be released.`);
  return code;
}
