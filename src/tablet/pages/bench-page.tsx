import type { NoteState } from '../../domain/fold/pair-state.ts';
import { enrolWords } from '../../words/bench.ts';
import type { Acts, CameraView } from '../app/acts.ts';
import { barOf } from '../app/bar.ts';
import { stageName } from '../app/bar-parts.ts';
import type { PairCard, View } from '../app/screen.ts';
import { BarView } from '../parts/bar.tsx';
import { CameraWindow } from '../parts/camera-window.tsx';
import { DoneList } from '../parts/done-list.tsx';
import { Header } from '../parts/header.tsx';
import { Keypad } from '../parts/keypad.tsx';
import { rackPage, reminders, settingsPage, shoes } from '../parts/later-parts.ts';
import { OpenList } from '../parts/open-list.tsx';
import type { OutboxHere } from '../parts/outbox-list.tsx';
import { cardNotes, PairCardView } from '../parts/pair-card.tsx';

interface BenchPageProps {
  readonly view: View;
  readonly acts: Acts;
  readonly camera: CameraView;
  readonly version: string;
  /** Reads what is kept here and not at the server. */
  readonly outbox?: () => Promise<OutboxHere>;
}

/** The whole bench page: one question at a time, and the bar at the foot that asks it. */
export function BenchPage(props: BenchPageProps) {
  const { view, acts, camera } = props;
  const drawn = notesDrawn(view);
  return (
    <div class={classOf(view, drawn.length > 0)}>
      <Header view={view} acts={acts} />
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: it can scroll, and keys must reach what scrolls */}
      <main class="main" tabIndex={0}>
        {view.keypadOpen ? (
          <Keypad extra={extraKeys(view)} onEnter={(text) => acts.typed(text)} />
        ) : (
          <Body {...props} />
        )}
      </main>
      <aside class="side">
        <CameraWindow camera={camera} acts={acts} keypadOpen={view.keypadOpen} />
        {drawn.length === 0 ? null : (
          <div class="shoes">
            <shoes.Later notes={drawn} />
          </div>
        )}
      </aside>
      <BarView bar={barOf(view)} acts={acts} />
    </div>
  );
}

function Body({ view, acts, camera, version, outbox }: BenchPageProps) {
  const { screen } = view;
  switch (screen.is) {
    case 'card':
      return (
        <>
          <PairCardView card={screen.card} view={view} acts={acts} />
          {showsReminders(screen.card) ? (
            <reminders.Later
              stage={screen.card.stage}
              turn={screen.card.turn}
              book={view.book}
              large={screen.card.moment.is === 'reminders'}
            />
          ) : null}
        </>
      );
    case 'rack':
      return <rackPage.Later pairs={screen.pairs} view={view} />;
    case 'settings':
      return <settingsPage.Later view={view} acts={acts} camera={camera} version={version} outbox={outbox} />;
    case 'ready':
      return (
        <>
          <OpenList view={view} acts={acts} />
          <DoneList view={view} />
        </>
      );
    case 'nobody-on':
      return (
        <>
          <p class="big">{view.stages.map((stage) => stageName(view, stage)).join(', ')}</p>
          <OpenList view={view} acts={acts} />
        </>
      );
    case 'enrol':
      return (
        <>
          <p class="big">{enrolWords.title}</p>
          <ol class="steps">
            {enrolWords.steps.map((step) => (
              <li key={step}>{step}</li>
            ))}
          </ol>
        </>
      );
    case 'starting':
    case 'broken':
      return null;
  }
}

/** Before the work and during it, but not beside a list that has to be gone through. */
function showsReminders({ choosing, moment }: PairCard): boolean {
  return choosing === null && moment.is !== 'checking' && moment.is !== 'boxing';
}

/** A list or a drawing to choose from takes the camera's room, unless a scan can be the answer. */
function classOf({ screen, keypadOpen }: View, hasShoes: boolean): string {
  const choosing = screen.is === 'card' && !keypadOpen ? screen.card.choosing : null;
  const wide = choosing !== null && choosing.is !== 'second-hand';
  return [
    'bench',
    ...(hasShoes ? ['with-shoes'] : []),
    ...(wide ? ['choosing'] : []),
    ...(choosing?.is === 'note' ? ['placing'] : []),
  ].join(' ');
}

/** A site with its own ticket numbers may need letters and signs that our alphabet leaves out. */
function extraKeys({ book }: View): string {
  const pattern = book?.ticketPattern ?? null;
  if (pattern === null) return '';
  const letters = /[@?]/.test(pattern) ? 'BDGILOQSUZ' : '';
  const signs = [...new Set(pattern.replace(/[#@?0-9A-Z]/g, ''))].join('');
  const own = [...new Set(pattern.replace(/[^A-Z]/g, ''))].filter(
    (letter) => !letters.includes(letter) && 'BDGILOQSUZ'.includes(letter),
  );
  return letters + own.join('') + signs;
}

/** The notes to draw on the shoes beside the card: those that matter at its stage. */
function notesDrawn({ screen, keypadOpen }: View): readonly NoteState[] {
  if (screen.is !== 'card' || keypadOpen || screen.card.pair === null) return [];
  return screen.card.choosing === null ? cardNotes(screen.card.pair, screen.card.stage) : [];
}
