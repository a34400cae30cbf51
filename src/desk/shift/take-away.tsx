/** The figures and the records out of the app, as files. The key goes in a header, so a link alone would not do. */
import { useState } from 'preact/hooks';
import type { SheetAnswer } from '../../wire/sheet.ts';
import { shiftWords } from '../../words/shift.ts';
import { headersOf } from '../api.ts';
import type { SetUp } from '../set-up.ts';

const FILES = ['sheet.csv', 'spells.csv', 'records.csv', 'log.ocel.json', 'log.xes'] as const;

const READ = '/api/read/v1';

interface Props {
  readonly setUp: SetUp;
  readonly shift: SheetAnswer['shift'];
}

export function TakeAway({ setUp, shift }: Props) {
  const [busy, setBusy] = useState<string | null>(null);
  const [says, setSays] = useState<string | null>(null);
  const take = async (file: File) => {
    setBusy(file);
    setSays(null);
    try {
      const response = await fetch(addressOf(file, shift), {
        cache: 'no-store',
        headers: headersOf(setUp),
      });
      if (!response.ok) throw new Error(String(response.status));
      save(await response.blob(), nameOf(file, setUp.site, shift));
    } catch {
      // Whatever went wrong, nothing was saved, and that is what counts here.
      setSays(shiftWords.takeAway.failed);
    }
    setBusy(null);
  };
  return (
    <section class="shift-take" aria-labelledby="shift-take">
      <h2 id="shift-take">{shiftWords.takeAway.title}</h2>
      <p class="desk-calm">{shiftWords.takeAway.hint}</p>
      <ul>
        {FILES.map((file) => (
          <li key={file}>
            <button type="button" disabled={busy !== null} onClick={() => take(file)}>
              {shiftWords.takeAway.files[file]}
            </button>
          </li>
        ))}
      </ul>
      <p role="status" class="field-says">
        {busy === null ? says : shiftWords.takeAway.busy}
      </p>
    </section>
  );
}

type File = (typeof FILES)[number];

/** @returns an address of the read interface */
function addressOf(file: File, { from, day }: Props['shift']): string {
  return file === 'sheet.csv'
    ? `${READ}/shifts/${new Date(from).toISOString()}/${file}`
    : `${READ}/exports/${file}?from=${day}&to=${day}`;
}

/** Two shifts of a day have a sheet each. */
function nameOf(file: File, site: string, { day, name }: Props['shift']): string {
  const of = file === 'sheet.csv' ? `${day}-${name.toLowerCase().replaceAll(/[^\p{L}\p{N}]+/gu, '-')}` : day;
  return `${site}-${of}-${file}`;
}

function save(blob: Blob, name: string): void {
  const address = URL.createObjectURL(blob);
  const link = document.createElement('a');
  link.href = address;
  link.download = name;
  link.click();
  // Not at once: the browser has only begun to read it.
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}
