import { useEffect, useState } from 'preact/hooks';
import { ALPHABET, inGroups, SCAN_LENGTH_MAX } from '../../domain/code.ts';
import { actions } from '../../words/bench.ts';

/**
 * Our own keypad: only characters that a code can hold, each a thumb wide. A keyboard types into it too.
 */
export function Keypad({
  extra,
  onEnter,
}: {
  readonly extra: string;
  readonly onEnter: (text: string) => void;
}) {
  const [text, setText] = useState('');
  const add = (character: string) => setText((so) => (so + character).slice(0, SCAN_LENGTH_MAX));
  const rubOut = () => setText((so) => so.slice(0, -1));
  const enter = () => {
    onEnter(text);
    setText('');
  };
  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      if (event.ctrlKey || event.metaKey || event.altKey) return;
      if (event.key === 'Enter') enter();
      else if (event.key === 'Backspace') rubOut();
      else if (/^[0-9A-Za-z/_-]$/.test(event.key)) add(event.key.toUpperCase());
      else return;
      event.preventDefault();
    };
    window.addEventListener('keydown', onKey);
    return () => window.removeEventListener('keydown', onKey);
  });
  return (
    <section class="keypad" aria-label={actions.typeIt}>
      <div class="entry">
        <output class="typed">
          <span class="code">
            {inGroups(text).map((group, index) => (
              <span key={index}>{group}</span>
            ))}
          </span>
        </output>
        <button type="button" class="button strong" onClick={enter} disabled={text === ''}>
          {actions.enter}
        </button>
      </div>
      <div class="keys">
        {[...ALPHABET, ...extra].map((character) => (
          <button key={character} type="button" class="button" onClick={() => add(character)}>
            {character}
          </button>
        ))}
        <button type="button" class="button wide" onClick={rubOut}>
          {actions.rubOut}
        </button>
      </div>
    </section>
  );
}
