/** Whether the site shows figures about single persons, and for how many days after a shift. */
import { useState } from 'preact/hooks';
import type { Personal } from '../../domain/site-book.ts';
import { personalWords as words } from '../../words/site-calendar.ts';
import type { SiteDrafting } from './site-drafting.ts';

const PLACE = 'personal';
const DAYS_MAX = 3660;
/** A quarter: long enough to talk about it, short enough to be forgotten. An assumption, no source. */
const DAYS_FIRST = 90;

export function PersonalPart({ drafting }: { readonly drafting: SiteDrafting }) {
  const { personal } = drafting.book;
  const { figures, keepDays } = personal;
  const [typed, setTyped] = useState<string | null>(null);
  const may = drafting.canChange;
  const put = (part: Partial<Personal>) => {
    setTyped(null);
    drafting.change(PLACE, { change: 'personal', personal: { ...personal, ...part } });
  };
  const type = (text: string) => {
    const days = Number(text);
    if (Number.isInteger(days) && days >= 1 && days <= DAYS_MAX) put({ keepDays: days });
    else setTyped(text);
  };
  return (
    <section aria-labelledby="site-personal">
      <h2 id="site-personal">{words.title}</h2>
      <p class="desk-calm">{words.hint}</p>
      <label class="site-check">
        <input
          type="checkbox"
          checked={figures}
          disabled={!may}
          onChange={() => put({ figures: !figures })}
        />
        {words.on}
      </label>
      {figures ? (
        <>
          <label class="site-check">
            <input
              type="checkbox"
              checked={keepDays !== null}
              disabled={!may}
              onChange={() => put({ keepDays: keepDays === null ? DAYS_FIRST : null })}
            />
            {words.limit}
          </label>
          {keepDays === null ? (
            <p>{words.forEver}</p>
          ) : (
            <label class="site-keep-days">
              {words.keepDays}
              <input
                type="number"
                min={1}
                max={DAYS_MAX}
                value={typed ?? keepDays}
                disabled={!may}
                onInput={(event) => type(event.currentTarget.value)}
              />
              {typed !== null && <span role="alert">{words.days}</span>}
            </label>
          )}
        </>
      ) : (
        <p>{words.off}</p>
      )}
    </section>
  );
}
