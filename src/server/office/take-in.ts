/**
 * Takes in what a tablet could not send, from a file that it made or from symbols that were read off it: also of one
 * whose key was taken away. What the ledger holds already stays as it is, so a file can be taken in again.
 */
import { asBenchId, type BenchId } from '../../domain/ids.ts';
import { type OutboxHead, outboxHeadSchema } from '../../wire/outbox-file.ts';
import { PUSH_RECORDS_MAX } from '../../wire/push.ts';
import type { AppendAnswer, Writer } from '../ledger/ledger.ts';
import type { Order } from './order.ts';
import { needed, Refusal } from './refusal.ts';

const REASONS_SHOWN = 20;

interface Line {
  readonly number: number;
  readonly value: unknown;
}

export async function takeIn(order: Order): Promise<string> {
  const file = needed(order.options, 'file');
  const lines = linesOf(textOf(order, file), file);
  const [first, ...others] = lines;
  if (first === undefined) throw new Refusal(`${file}: there is nothing in it.`);
  const head = outboxHeadSchema.safeParse(first.value);
  if (head.success) await mustBeOurs(order, head.data);
  const records = head.success ? others : lines;
  const byBench = new Map<BenchId, Line[]>();
  for (const line of records) {
    const bench = benchOf(line, head.success ? head.data : null, file);
    const those = byBench.get(bench) ?? [];
    those.push(line);
    byBench.set(bench, those);
  }
  const writers = new Map<BenchId, Writer>();
  for (const bench of byBench.keys()) writers.set(bench, await writerOf(order, bench, file));
  const counts = { stored: 0, had: 0, refused: 0 };
  const reasons: string[] = [];
  for (const [bench, writer] of writers) {
    for (const { line, answer } of await append(order, writer, byBench.get(bench) ?? [])) {
      counts[answer.answer] += 1;
      if (answer.answer === 'refused')
        reasons.push(`line ${line.number}: not taken: ${answer.reasons.join('; ')}`);
    }
  }
  return said(counts, reasons);
}

function textOf({ read }: Order, file: string): string {
  try {
    return read(file);
  } catch (cause) {
    throw new Refusal(`${file}: cannot be read: ${cause instanceof Error ? cause.message : String(cause)}`);
  }
}

/** All of it is read before any of it is taken in: a file that was cut off is better copied again. */
function linesOf(text: string, file: string): readonly Line[] {
  return text
    .replace(/^\uFEFF/, '')
    .split('\n')
    .map((line, index) => ({ number: index + 1, text: line.trim() }))
    .filter((line) => line.text !== '')
    .map(({ number, text: json }) => {
      try {
        return { number, value: JSON.parse(json) as unknown };
      } catch {
        throw new Refusal(`${file}, line ${number}: is no JSON. Nothing was taken in.`);
      }
    });
}

async function mustBeOurs({ ledger, site }: Order, head: OutboxHead): Promise<void> {
  const standing = await ledger.standing(site, head.bench);
  if (head.site !== site || head.dataset !== standing?.dataset)
    throw new Refusal(
      `The file is of another site or ledger: ${head.site}, ${head.name}. Nothing was taken in.`,
    );
}

function benchOf({ number, value }: Line, head: OutboxHead | null, file: string): BenchId {
  if (typeof value === 'object' && value !== null && 'bench' in value && typeof value.bench === 'string')
    return asBenchId(value.bench);
  if (head !== null) return head.bench;
  throw new Refusal(`${file}, line ${number}: is no record. Nothing was taken in.`);
}

/** A tablet or desk that was ever enrolled here, revoked or not. */
async function writerOf({ ledger, site }: Order, bench: BenchId, file: string): Promise<Writer> {
  const entry = await ledger.bench(site, bench);
  if (entry === null) throw new Refusal(`${file}: no tablet here has or had the id ${bench}; see list.`);
  return entry;
}

async function append(
  { ledger, now }: Order,
  writer: Writer,
  lines: readonly Line[],
): Promise<readonly { readonly line: Line; readonly answer: AppendAnswer }[]> {
  const answered: { line: Line; answer: AppendAnswer }[] = [];
  for (let from = 0; from < lines.length; from += PUSH_RECORDS_MAX) {
    const some = lines.slice(from, from + PUSH_RECORDS_MAX);
    const answers = await ledger.append(
      writer,
      some.map(({ value }) => value),
      now,
    );
    for (const answer of answers) {
      const line = some[answer.index];
      if (line !== undefined) answered.push({ line, answer });
    }
  }
  return answered;
}

function said(counts: Readonly<Record<AppendAnswer['answer'], number>>, reasons: readonly string[]): string {
  const more = reasons.length > REASONS_SHOWN ? [`and ${reasons.length - REASONS_SHOWN} more`] : [];
  return [
    `${counts.stored} taken in, ${counts.had} held already, ${counts.refused} not taken.`,
    ...reasons.slice(0, REASONS_SHOWN),
    ...more,
  ].join('\n');
}
