/** The first visit: one field for the desk's set-up code. */
import { useEffect, useRef, useState } from 'preact/hooks';
import { deskSetUp, deskTroubles, notASetUpCode, setUpUnreachable, stopped } from '../../words/desk.ts';
import type { Line } from '../../words/line.ts';
import type { EnrolTrouble, SetUpWhy } from '../running-desk.ts';
import { readSetUpCode } from '../set-up-code.ts';

interface Props {
  /** What the address brought: it is tried at once, since opening that address asked for it. */
  readonly offered: string | null;
  /** Why a desk that was set up has to be set up again. */
  readonly why: SetUpWhy;
  /** When it goes well, the desk opens by itself. */
  readonly enrol: (token: string) => Promise<EnrolOutcome>;
}

type EnrolOutcome = { readonly ok: true } | { readonly ok: false; readonly trouble: EnrolTrouble };

export function SetUpPage({ offered, why, enrol }: Props) {
  const [text, setText] = useState(offered ?? '');
  const [asking, setAsking] = useState(false);
  const [line, setLine] = useState<Line | null>(null);
  const field = useRef<HTMLInputElement>(null);

  const submit = async (typed: string) => {
    const read = readSetUpCode(typed);
    const refuse = (because: Line) => {
      setLine(because);
      field.current?.focus();
    };
    if (read.is === 'other') return refuse(notASetUpCode(read.code));
    setLine(null);
    setAsking(true);
    const answer = await enrol(read.token);
    setAsking(false);
    if (!answer.ok) refuse(lineOf(answer.trouble));
  };

  // Once, at the first showing.
  useEffect(() => {
    if (offered === null) field.current?.focus();
    else void submit(offered);
  }, []);

  return (
    <main class="desk desk-set-up">
      <h1>{titleOf(why)}</h1>
      <p>
        {why === null ? deskSetUp.next : why === 'moved' ? stopped(deskSetUp.moved.next) : deskSetUp.again}
      </p>
      <form
        onSubmit={(event) => {
          event.preventDefault();
          if (!asking) void submit(text);
        }}
      >
        <label for="desk-code">{deskSetUp.field}</label>
        <input
          id="desk-code"
          ref={field}
          value={text}
          onInput={(event) => setText(event.currentTarget.value)}
          maxLength={64}
          autocomplete="off"
          autocapitalize="characters"
          spellcheck={false}
          aria-describedby="desk-code-hint desk-code-answer"
          aria-invalid={line !== null}
        />
        <p id="desk-code-hint" class="desk-calm">
          {deskSetUp.hint}
        </p>
        <p id="desk-code-answer" class="desk-answer" role="status">
          {asking && deskSetUp.asking}
          {line !== null && (
            <>
              <b>{stopped(line.says)}</b> {stopped(line.next)}
            </>
          )}
        </p>
        <button type="submit" aria-disabled={asking}>
          {deskSetUp.submit}
        </button>
      </form>
    </main>
  );
}

function titleOf(why: SetUpWhy): string {
  if (why === null) return deskSetUp.title;
  return why === 'moved' ? deskSetUp.moved.says : deskTroubles[why].says;
}

function lineOf(trouble: EnrolTrouble): Line {
  switch (trouble) {
    case 'unreachable':
      return setUpUnreachable;
    case 'keeps-nothing':
      return deskSetUp.keepsNothing;
    case 'records-wait':
      return deskSetUp.recordsWait;
    default:
      return deskTroubles[trouble];
  }
}
