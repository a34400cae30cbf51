/** The site's calendar while somebody changes it: fetched from the server, changed here, sent back whole. */
import { useEffect, useState } from 'preact/hooks';
import { type CalendarAhead, type CalendarFault, calendarFaults } from '../../domain/calendar/changes.ts';
import type { OperativeId } from '../../domain/ids.ts';
import { type CalendarAnswer, type CalendarChange, calendarAnswerSchema } from '../../wire/calendar.ts';
import { deskTroubles, stopped } from '../../words/desk.ts';
import { calendarWords } from '../../words/site-calendar.ts';
import type { DeskApi, Trouble } from '../api.ts';
import type { SetUp } from '../set-up.ts';

const ADDRESS = '/api/site/calendar';

export interface CalendarWays {
  readonly api: DeskApi;
  readonly setUp: SetUp;
}

export interface CalendarDrafting {
  /** Null until the server has answered. */
  readonly draft: CalendarAhead | null;
  readonly changed: boolean;
  readonly faults: readonly CalendarFault[];
  readonly saving: boolean;
  readonly said: string | null;
  change(part: Partial<CalendarAhead>): void;
  drop(): void;
  save(by: OperativeId): Promise<void>;
}

export function useCalendarDrafting({ api, setUp }: CalendarWays): CalendarDrafting {
  const [got, setGot] = useState<CalendarAnswer | null>(null);
  const [draft, setDraft] = useState<CalendarAhead | null>(null);
  const [saving, setSaving] = useState(false);
  const [said, setSaid] = useState<string | null>(null);
  const take = (answer: CalendarAnswer) => {
    setGot(answer);
    setDraft(null);
  };
  const fetchNow = async (signal: AbortSignal): Promise<void> => {
    const answer = await api.ask(setUp, ADDRESS, calendarAnswerSchema, signal);
    if (signal.aborted) return;
    if (answer.ok) take(answer.value);
    else setSaid(troubleLine(answer.trouble));
  };
  useEffect(() => {
    const stop = new AbortController();
    void fetchNow(stop.signal);
    return () => stop.abort();
  }, [api, setUp]);

  const shown = draft ?? got;
  return {
    draft: shown,
    changed: draft !== null,
    faults: shown === null || got === null ? [] : calendarFaults(shown, got.today),
    saving,
    said,
    change(part) {
      if (shown === null) return;
      const { rules, shut, overtime } = { ...shown, ...part };
      setSaid(null);
      setDraft({ rules, shut, overtime });
    },
    drop: () => {
      setSaid(null);
      setDraft(null);
    },
    async save(by) {
      if (got === null || draft === null || saving) return;
      setSaving(true);
      const body: CalendarChange = { tag: got.tag, by, ...typedOut(draft) };
      const signal = new AbortController().signal;
      const answer = await api.ask(setUp, ADDRESS, calendarAnswerSchema, signal, body);
      setSaving(false);
      if (answer.ok) take(answer.value);
      else if (answer.trouble === 'book-changed') await fetchNow(signal);
      setSaid(answer.ok ? calendarWords.saved : troubleLine(answer.trouble));
    },
  };
}

/** As it goes on the wire: names without blanks at their ends. */
function typedOut({
  rules,
  shut,
  overtime,
}: CalendarAhead): Pick<CalendarChange, 'rules' | 'shut' | 'overtime'> {
  const named = <Line extends { readonly name: string }>(line: Line): Line => ({
    ...line,
    name: line.name.trim(),
  });
  return { rules: rules.map(named), shut: shut.map(named), overtime: overtime.map(named) };
}

function troubleLine(trouble: Trouble): string {
  if (trouble === 'book-changed') return calendarWords.overtaken;
  if (trouble === 'not-allowed') return calendarWords.refused;
  const { says, next } = deskTroubles[trouble];
  return `${stopped(says)} ${stopped(next)}`;
}
