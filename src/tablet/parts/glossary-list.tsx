import { GLOSSARY } from '../../domain/catalogue/glossary.ts';

/** The trade's words, for whoever is new to them. */
export function GlossaryList() {
  return (
    <dl class="glossary">
      {GLOSSARY.map(({ word, meaning }) => (
        <div key={word}>
          <dt>{word}</dt>
          <dd>{meaning}</dd>
        </div>
      ))}
    </dl>
  );
}
