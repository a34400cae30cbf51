import { useEffect, useState } from 'preact/hooks';
import type { PairState } from '../../domain/fold/pair-state.ts';
import { when } from '../../words/format.ts';
import { type Naming, pictureWords } from '../../words/whereabouts.ts';
import type { PhotoUrl } from './pair-given.ts';

interface Props {
  readonly pictures: PairState['pictures'];
  readonly naming: Naming;
  readonly photoUrl: PhotoUrl | undefined;
}

/** The photographs of a pair; one whose picture is not here is still said to have been taken. */
export function PairPictures({ pictures, naming: { book, now }, photoUrl }: Props) {
  return (
    <section class="pair-pictures" aria-labelledby="pair-pictures">
      <h3 id="pair-pictures">{pictureWords.title}</h3>
      <ul>
        {pictures.map(({ id, photo, at }) => (
          <li key={id}>
            <Picture
              photo={photo}
              name={pictureWords.one(when(at, now, book.timeZone))}
              photoUrl={photoUrl}
            />
          </li>
        ))}
      </ul>
    </section>
  );
}

interface PictureProps {
  readonly photo: string;
  readonly name: string;
  readonly photoUrl: PhotoUrl | undefined;
}

function Picture({ photo, name, photoUrl }: PictureProps) {
  const [url, setUrl] = useState<string | null | undefined>(photoUrl === undefined ? null : undefined);
  useEffect(() => {
    let current = true;
    photoUrl?.(photo).then(
      (found) => current && setUrl(found),
      () => current && setUrl(null),
    );
    return () => {
      current = false;
    };
  }, [photo, photoUrl]);
  if (typeof url === 'string')
    return (
      <a href={url} target="_blank" rel="noopener">
        <img src={url} alt={name} loading="lazy" onError={() => setUrl(null)} />
      </a>
    );
  return (
    <p class="desk-calm">
      {name}. {url === undefined ? pictureWords.loading : pictureWords.elsewhere}
    </p>
  );
}
