/**
 * The office command: people, badges, releases, tablets, racks and the calendar of a site, straight into the ledger's file. It can run
 * beside the server, which looks each of them up as it answers.
 */
import { parseArgs } from 'node:util';
import * as z from 'zod';
import type { SiteId } from '../../domain/ids.ts';
import type { ServerLedger } from '../ledger/ledger.ts';
import { newEpoch } from '../new-site.ts';
import { dropOvertime, dropShift, dropShut, setBreaks, setOvertime, setShift, setShut } from './calendar.ts';
import { checkForecast } from './check-forecast.ts';
import { listing } from './listing.ts';
import { type OfficeDesk, OPTIONS, type Order } from './order.ts';
import { addOperative, giveBadge, withdrawBadge } from './people.ts';
import { addRack } from './racks.ts';
import { addReader, revokeReader } from './readers.ts';
import { Refusal } from './refusal.ts';
import { release } from './releases.ts';
import { setSite } from './site.ts';
import { addBench, revokeBench } from './tablets.ts';
import { takeIn } from './take-in.ts';

export const OFFICE_USAGE = `Looks after a site: its people, badges, releases, tablets, racks and calendar.

  npm run office -- list
  npm run office -- add-operative --name "Ada Fenn" [--role hand|supervisor|office]
  npm run office -- give-badge --operative ID [--out badge.html]
      withdraws the badge that this person had before
  npm run office -- withdraw-badge --operative ID
  npm run office -- release --operative ID --stages STI,WLT
      the machine stages that this person is released for, and no other; --all instead of --stages: every one
  npm run office -- add-rack --name "Rack 4" [--out rack.html]
  npm run office -- add-bench --name "Welt bench" --stages WLT,INT [--place bench|desk]
                              [--uses 1] [--hours 24] [--out card.html]
      gives a set-up code for one tablet, or for as many as --uses says
  npm run office -- revoke-bench --bench ID
  npm run office -- add-reader NAME
      gives a token to a program that reads records, figures and tables, and does nothing else
  npm run office -- revoke-reader NAME
  npm run office -- take-in --file outbox.jsonl
      records that a tablet could not send, from its settings page; also of a tablet whose key was taken away
  npm run office -- set-shift --name Day --days mon,tue,wed,thu,fri --from 07:00 --to 15:30
                              [--breaks 09:00-09:15,12:00-12:30]
      since today; what held before stays in the figures of then
  npm run office -- set-breaks --name Day --breaks 09:00-09:15,12:00-12:30
      of every shift of that name, since today; --breaks none takes them away
  npm run office -- drop-shift --name Day
  npm run office -- set-shut --from 2026-12-24 [--to 2027-01-03] --name "Winter holiday"
      no shift begins on these days, both included
  npm run office -- drop-shut --from 2026-12-24
  npm run office -- set-overtime --day 2026-12-12 --name "Saturday" --from 07:00 --to 12:00 [--breaks 09:00-09:15]
      a shift of one day, on shut days too
  npm run office -- drop-overtime --day 2026-12-12 --name "Saturday"
  npm run office -- set-site [--name "…"] [--ask "whom a hand asks"] [--ticket-pattern "AB######"] [--closing-stage DSP]
  npm run office -- check-forecast
      holds the forecast of past days against what came, beside two rules of thumb
  npm run office -- restored
      after the ledger was put back from a backup: all tablets read and send anew

  --site ID   where the ledger holds several sites
The ledger is the one in DATABASE_URL or WAXEND_DATA.
`;

/** What is said, and the exit code: 0 done, 2 not understood or not possible, and then nothing was changed. */
export interface OfficeOutcome {
  readonly exitCode: 0 | 2;
  readonly says: string;
}

const ORDERS: Readonly<Record<string, (order: Order) => Promise<string>>> = {
  list: listing,
  'add-operative': addOperative,
  'give-badge': giveBadge,
  'withdraw-badge': withdrawBadge,
  release,
  'add-rack': addRack,
  'add-bench': addBench,
  'check-forecast': checkForecast,
  'revoke-bench': revokeBench,
  'set-shift': setShift,
  'set-breaks': setBreaks,
  'drop-shift': dropShift,
  'set-shut': setShut,
  'drop-shut': dropShut,
  'set-overtime': setOvertime,
  'drop-overtime': dropOvertime,
  'set-site': setSite,
  'add-reader': addReader,
  'revoke-reader': revokeReader,
  'take-in': takeIn,
  restored,
};

/** These can be told a name without `--name`. */
const TAKES_A_NAME: ReadonlySet<string> = new Set(['add-reader', 'revoke-reader']);

/** Runs one order. `args` are the words after the command's name. */
export async function officeCommand(args: readonly string[], desk: OfficeDesk): Promise<OfficeOutcome> {
  try {
    const { values, positionals } = parsed(args);
    if (values.help === true) return { exitCode: 0, says: OFFICE_USAGE };
    const [name = '', ...others] = positionals;
    const order = Object.hasOwn(ORDERS, name) ? ORDERS[name] : undefined;
    if (order === undefined) throw new Refusal(`Say what to do.\n\n${OFFICE_USAGE}`);
    if (values.name === undefined && TAKES_A_NAME.has(name)) {
      const named = others.shift();
      if (named !== undefined) values.name = named;
    }
    if (others.length > 0) throw new Refusal(`What is «${others[0]}» for? One order at a time.`);
    const { help: _, ...options } = values;
    const site = await siteOf(desk.ledger, options.site);
    const book = await desk.ledger.book(site);
    if (book === null) throw new Refusal(`There is no site ${site}.`);
    return { exitCode: 0, says: await order({ ...desk, site, book, options }) };
  } catch (cause) {
    if (cause instanceof Refusal) return { exitCode: 2, says: cause.message };
    if (cause instanceof z.core.$ZodError) {
      const lines = cause.issues.map(({ path, message }) => `${path.map(String).join('.')}: ${message}`);
      return { exitCode: 2, says: lines.join('\n') };
    }
    throw cause;
  }
}

function parsed(args: readonly string[]) {
  try {
    return parseArgs({ args: [...args], options: OPTIONS, allowPositionals: true, strict: true });
  } catch (cause) {
    throw new Refusal(cause instanceof Error ? cause.message : String(cause));
  }
}

async function siteOf(ledger: ServerLedger, wished: string | undefined): Promise<SiteId> {
  const sites = await ledger.sites();
  if (sites.length === 0) throw new Refusal('There is no site in this ledger yet. Start the server first.');
  const site = wished === undefined && sites.length === 1 ? sites[0] : sites.find((one) => one === wished);
  if (site === undefined) throw new Refusal(`--site: one of ${sites.join(', ')}.`);
  return site;
}

async function restored({ ledger, site, random }: Order): Promise<string> {
  await ledger.startEpoch(site, newEpoch(random));
  return 'A new epoch has begun: every tablet offers its records again, and reads from the start.';
}
