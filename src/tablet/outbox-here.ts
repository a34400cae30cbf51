/**
 * What waits on this tablet, to be looked at and taken along: a tablet whose key was taken away, or that cannot reach
 * its server for days, is not the end of what was recorded on it.
 */

import type { Instant } from '../domain/instant.ts';
import { type LedgerRecord, pairOf } from '../domain/record/kinds.ts';
import { type OutboxHead, outboxText } from '../wire/outbox-file.ts';
import type { Enrolment, TabletLedger, Unsent } from './ledger/ledger.ts';
import type { OutboxHere, RefusedHere } from './parts/outbox-list.tsx';

/** More than these are no help: a hand would have to be held to each of them. */
const SYMBOLS_MAX = 6;
/** A symbol of more than this is too fine for a phone's camera to read off a screen. */
const SYMBOL_BYTES_MAX = 1_000;
const REFUSED_SHOWN = 50;

export async function outboxHere(
  ledger: TabletLedger,
  enrolment: Enrolment,
  now: () => Instant,
): Promise<OutboxHere> {
  const unsent: Unsent[] = [];
  for await (const slice of ledger.inOutbox()) unsent.push(...slice);
  const lines = unsent.map(({ record }) => JSON.stringify(record));
  const drawable = lines.length <= SYMBOLS_MAX && lines.every((line) => line.length <= SYMBOL_BYTES_MAX);
  return {
    records: unsent.length,
    refused: unsent
      .filter(({ state }) => state === 'refused')
      .slice(0, REFUSED_SHOWN)
      .map(refusedHere),
    save: () => save(headOf(enrolment, now()), unsent),
    symbols: drawable && lines.length > 0 ? () => drawn(lines) : null,
  };
}

function refusedHere({ record, reasons }: Unsent): RefusedHere {
  const { id, kind, at } = record as LedgerRecord;
  return { id, kind, pair: pairOf(record), at, reasons };
}

function headOf({ site, dataset, bench, name }: Enrolment, madeAt: Instant): OutboxHead {
  return { waxend: 'outbox', v: 1, site, dataset, bench, name, madeAt };
}

function save(head: OutboxHead, unsent: readonly Unsent[]): void {
  const text = outboxText(
    head,
    unsent.map(({ record }) => record),
  );
  const address = URL.createObjectURL(new Blob([text], { type: 'application/jsonl' }));
  const link = document.createElement('a');
  link.href = address;
  link.download = `outbox-${head.bench}-${new Date(head.madeAt).toISOString().slice(0, 16).replace(':', '')}.jsonl`;
  link.click();
  // The browser reads it after this has returned.
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}

async function drawn(lines: readonly string[]): Promise<readonly string[]> {
  const { drawingSVG, qrcode } = await import('bwip-js/generic');
  return lines.map((text) => {
    // Held in a constant because the encoder's types leave this symbol's own option out. A quiet zone of 4 modules.
    const options = { bcid: 'qrcode', text, scale: 2, eclevel: 'L', padding: 8, backgroundcolor: 'FFFFFF' };
    return qrcode(options, drawingSVG());
  });
}
